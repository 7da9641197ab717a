import pytest

from supervision.actions.search_keys import refresh_all, refresh_parties, refresh_works
from supervision.models import Party, Recording, Work
from tests.factories.catalogue import PartyFactory, RecordingFactory, WorkFactory, WorkShareFactory

pytestmark = pytest.mark.django_db


def test_refresh_all_writes_every_key():
    ada = PartyFactory(name="Ada Weir", ipi="00014107338")
    work = WorkFactory(title="Řeka")
    WorkShareFactory(work=work, party=ada, writer=True)
    WorkShareFactory(work=work, party=PartyFactory(name="Tide Music"))
    RecordingFactory(title="River", artist="Ålund", works=[work])
    RecordingFactory(title="Score", artist="")
    refresh_all()
    assert list(Party.objects.values_list("search_key", flat=True)) == ["ada weir | 00014107338", "tide music"]
    assert Work.objects.get().search_key == "reka | ada weir"
    assert list(Recording.objects.values_list("search_key", flat=True)) == ["river | alund | reka | ada weir", "score"]


def test_publisher_is_no_part_of_the_key_of_a_work():
    share = WorkShareFactory(work__title="River")
    refresh_parties(Party.objects.filter(pk=share.party_id))
    assert Work.objects.get().search_key == ""


@pytest.mark.parametrize("count", [10, 200])
def test_queries_do_not_grow_with_rows(count, django_assert_num_queries):
    ada = PartyFactory(name="Ada Weir")
    for _ in range(count):
        work = WorkFactory()
        WorkShareFactory(work=work, party=ada, writer=True)
        RecordingFactory(works=[work])
    # Five of the works (numbers, rows, titles, writers, save) and six of the recordings, which have works besides.
    with django_assert_num_queries(11):
        refresh_works(Work.objects.all())
