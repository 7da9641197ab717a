"""The log's page: what it shows, how rows are saved with htmx and without, and each refusal with what was typed."""

import re

import pytest
from django.urls import reverse

from supervision.models import Usage
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.catalogue import RecordingFactory, WorkFactory
from tests.factories.productions import CutFactory, EpisodeFactory
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db

START = 25 * 3600 * 10
HTMX = {"HX-Request": "true"}
ROW = {
    "cue_number": "1M1",
    "in_timecode": "10:02:14:00",
    "out_timecode": "+33s",
    "song": "Something slow",
    "use": "background",
    "origin": "pre_existing",
    "scene": "Boathouse",
    "sync_estimate": "",
    "master_estimate": "",
}


@pytest.fixture
def episode():
    return EpisodeFactory(code="TIDE-101", number="101", title="Low Water")


@pytest.fixture
def user(episode, client):
    user = MembershipFactory(production=episode.season.production).user
    client.force_login(user)
    return user


@pytest.fixture
def usage(episode):
    return UsageFactory(episode=episode, cue_number="1M1", title="Something slow", placed=(START + 3350, START + 4175))


def sign_in(client, episode, role):
    client.force_login(MembershipFactory(production=episode.season.production, role=role).user)


def log(client, **query):
    return client.get(reverse("episode-log", args=["TIDE-101"]), query)


def add(client, headers=None, **told):
    return client.post(reverse("usage-new", args=["TIDE-101"]), ROW | told, headers=headers or {})


def save(client, usage, headers=None, **told):
    return client.post(reverse("usage-row", args=[usage.pk]), ROW | {"version": "1"} | told, headers=headers or {})


def deed(client, name, usage, headers=None):
    return client.post(reverse(f"usage-{name}", args=[usage.pk]), headers=headers or {})


CELLS = (
    "cue_number",
    "in_timecode",
    "out_timecode",
    "length",
    "song",
    "use",
    "seen",
    "vocal",
    "origin",
    "code",
    "scene",
)


def values(response, row):
    """What a row holds by name, read out of the page: the values of its fields, or the cells of a row of text."""
    body = re.search(rf'<tbody data-row[^>]*id="{row}".*?</tbody>', response.content.decode(), re.DOTALL)[0]
    if fields := dict(re.findall(r'name="(\w+)"[^>]*? value="([^"]*)"', body)):
        return fields
    cells = re.findall(r"<t[dh][^>]*>(.*?)(?=<t[dhr])", body, re.DOTALL)
    texts = [" ".join(re.sub("<[^>]*>", " ", cell).split()) for cell in cells]
    return dict(zip((*CELLS, "sync_estimate", "master_estimate"), texts, strict=False))


def told(response, row):
    """What is said about a row."""
    found = re.search(rf'<div id="{row}-told"[^>]*>(.*?)</div>', response.content.decode(), re.DOTALL)[1]
    return [" ".join(re.sub(r"<[^>]*>", " ", item).split()) for item in re.findall(r"<li.*?</li>", found, re.DOTALL)]


def placed(usage):
    return list(usage.placements.values_list("in_frame", "out_frame"))


# --- reading ---------------------------------------------------------------------------------------------------------


def test_log_shows_rows_and_figures(client, user, episode, usage):
    response = log(client)
    assert response.status_code == 200
    assert response.context["title"] == "101 Low Water"
    figures = {figure["label"]: (str(figure["value"]), figure["note"]) for figure in response.context["figures"]}
    assert figures["Cues"] == ("1", "")
    assert figures["Music"] == ("0:33", "1.2\u202f% of 45:00")
    row = values(response, f"usage-{usage.pk}")
    assert (row["in_timecode"], row["out_timecode"], row["song"]) == ("10:02:14:00", "10:02:47:00", "Something slow")


def test_log_offers_the_next_cue_number(client, user, usage):
    assert values(log(client), "usage-new")["cue_number"] == "1M2"


def test_log_says_what_is_odd_and_where_else_the_song_is(client, user, episode):
    recording = RecordingFactory()
    here = UsageFactory(episode=episode, recording=recording, placed=(START - 50, START + 100))
    UsageFactory(episode=EpisodeFactory(season=episode.season, number="103"), recording=recording)
    assert told(log(client), f"usage-{here.pk}") == ["also in 103", "It starts 0:02 before the programme."]


def test_log_flags_on_the_stave_what_is_wrong_and_not_what_is_noted(client, user, episode):
    UsageFactory(episode=episode, cue_number="", title="Nightfall", origin="owned", placed=(START, START + 100))
    UsageFactory(episode=episode, cue_number="1M2", title="To be found", placed=(START + 100, START + 200))
    problems = {bar.label: bar.problem for bar in log(client).context["bars"]}
    assert problems == {"Nightfall": "", "1M2 To be found": "No song is chosen, so nobody can be asked."}


def test_log_of_an_episode_without_a_cut_says_what_to_do(client, user, episode):
    episode.current_cut = None
    episode.save()
    assert reverse("episode-cuts", args=["TIDE-101"]) in log(client).content.decode()


def test_empty_log_says_how_to_begin_until_there_is_a_usage(client, user, episode):
    begin = reverse("episode-imports", args=["TIDE-101"])
    assert f'No music logged yet. Fill in the row below, paste rows from a spreadsheet, or <a href="{begin}">' in (
        log(client).content.decode()
    )
    assert "No music logged yet" not in add(client, HTMX).content.decode()


def test_log_of_an_older_cut_is_to_be_read(client, user, episode, usage):
    old = episode.current_cut
    episode.current_cut = CutFactory(episode=episode)
    episode.save()
    response = log(client, cut=old.number)
    assert response.context["new"] is None
    assert b"<input name" not in response.content.partition(b"<main")[2]
    assert b"10:02:14:00" in response.content
    assert log(client, cut=99).status_code == 404


def test_log_of_a_viewer_is_to_be_read_without_fees(client, episode):
    UsageFactory(
        episode=episode, placed=(START, START + 25), sync_estimate_minor=123_400, estimate_currency="USD", scene="Quay"
    )
    sign_in(client, episode, Role.VIEWER)
    page = log(client).content.decode()
    assert "Quay" in page
    assert "1,234" not in page
    assert "Sync est" not in page
    sign_in(client, episode, Role.FINANCE)
    assert "1,234.00" in log(client).content.decode()


def test_log_of_a_composer_is_written_without_fees(client, episode):
    UsageFactory(episode=episode, placed=(START, START + 25), sync_estimate_minor=123_400, estimate_currency="USD")
    sign_in(client, episode, Role.COMPOSER)
    page = log(client).content.decode()
    assert "sync_estimate" not in page
    assert "1,234" not in page
    assert add(client).status_code == 302


def test_log_is_not_there_for_others(client, episode, usage):
    client.force_login(UserFactory())
    assert log(client).status_code == 404
    assert add(client).status_code == 404
    assert save(client, usage).status_code == 404


def test_log_sends_strangers_to_sign_in(client, episode):
    assert log(client).status_code == 302


@pytest.mark.parametrize("count", [10, 200])
def test_log_costs_the_same_queries(client, user, episode, count, django_assert_num_queries):
    recording = RecordingFactory(works=[WorkFactory()])
    other = EpisodeFactory(season=episode.season)
    for number in range(count):
        UsageFactory(episode=episode, recording=recording, cue_number=f"1M{number}", placed=(START, START + 25))
        UsageFactory(episode=other, recording=recording, cue_number=f"1M{number}", placed=(START, START + 25))
    # Session, user, episode, role; six of the log, one of them the role again; the cuts.
    with django_assert_num_queries(11):
        assert log(client).status_code == 200


# --- adding ----------------------------------------------------------------------------------------------------------


def test_add_without_htmx_goes_back_to_the_empty_row(client, user, episode):
    response = add(client)
    assert response.url == "/episodes/TIDE-101/#usage-new"
    usage = Usage.objects.get()
    assert (usage.cue_number, usage.title, usage.scene) == ("1M1", "Something slow", "Boathouse")
    assert placed(usage) == [(START + 3350, START + 4175)]


def test_add_with_htmx_answers_with_the_row_a_fresh_one_and_the_summary(client, user, episode):
    response = add(client, HTMX)
    usage = Usage.objects.get()
    assert values(response, f"usage-{usage.pk}")["out_timecode"] == "10:02:47:00"
    assert values(response, "usage-new")["cue_number"] == "1M2"
    assert b'id="log-summary" class="stack" hx-swap-oob="true"' in response.content


def test_number_that_the_page_proposed_gives_way_when_somebody_took_it(client, user, usage):
    response = add(client, HTMX, proposed="1M1")
    assert Usage.objects.exclude(pk=usage.pk).get().cue_number == "1M2"
    assert values(response, "usage-new")["cue_number"] == "1M3"


def test_add_tells_the_rows_that_it_overlaps(client, user, usage):
    response = add(client, HTMX, cue_number="1M2", in_timecode="10:02:46:00", song="Another")
    assert told(response, f"usage-{usage.pk}") == [
        "No song is chosen, so nobody can be asked.",
        "It overlaps 1M2 Another by 0:01.",
    ]


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        (
            {"in_timecode": "10:02:14:25"},
            "In “10:02:14:25” has frame 25, which does not exist at 25. The last frame is 24.",
        ),
        ({"out_timecode": "10:02:14:00"}, "Out The music lasts nothing. Give an out point after the in point."),
        ({"out_timecode": "10:02:00:00"}, "Out The music ends before it starts. Give an out point after the in point."),
        (
            {"out_timecode": ""},
            "Out The in point stands alone. Give both, or neither for music that is not in the cut yet.",
        ),
        (
            {"in_timecode": ""},
            "In The out point stands alone. Give both, or neither for music that is not in the cut yet.",
        ),
        (
            {"song": "Evening Tide · R999"},
            "Song The catalogue has no recording R999. Choose a song from the list, or write a working title.",
        ),
        ({"sync_estimate": "-5"}, "Sync estimate An amount cannot be below 0. Leave out the minus sign."),
        (
            {"sync_estimate": "5", "master_estimate": "EUR 5"},
            "Master estimate Both estimates are in one currency, not in EUR and USD. State both in one of them.",
        ),
        ({"cue_number": "1M1"}, "Cue number 1M1 is taken in this episode. 1M2 is free."),
        (
            {"use": "elsewhere"},
            "Use Select a valid choice. elsewhere is not one of the available choices.",
        ),
    ],
)
@pytest.mark.parametrize("headers", [{}, HTMX])
def test_add_refused_keeps_what_was_typed_beside_the_reason(client, user, usage, typed, sentence, headers):
    row = ROW | {"cue_number": "9M9"} | typed
    response = add(client, headers, **row)
    assert response.status_code == 422
    kept = values(response, "usage-new")
    assert {name: kept[name] for name in typed if name in kept} == {name: typed[name] for name in typed if name in kept}
    assert kept["scene"] == "Boathouse"
    assert sentence in told(response, "usage-new")
    assert Usage.objects.count() == 1


def test_add_a_song_by_its_code_and_a_work_alone(client, user, episode):
    recording, work = RecordingFactory(title="Evening Tide"), WorkFactory(title="Lowlands")
    add(client, song=f"Evening Tide – The Lockkeepers · R{recording.pk}")
    add(client, song=f"w{work.pk}", cue_number="1M2")
    first, second = Usage.objects.order_by("pk")
    assert (first.recording, first.work, first.title) == (recording, None, "")
    assert (second.recording, second.work, second.title) == (None, work, "")


def test_add_on_screen_is_seen_without_saying_so(client, user, episode):
    add(client, use="on_screen", vocal="on")
    usage = Usage.objects.get()
    assert (usage.seen, usage.vocal) == (True, "vocal")


def test_add_a_theme_in_one_choice(client, user, episode):
    add(client, use="theme-opening")
    assert (Usage.objects.get().function, Usage.objects.get().theme_position) == ("theme", "opening")


def test_add_estimates_in_either_currency(client, user, episode):
    add(client, sync_estimate="1,200", master_estimate="")
    add(client, cue_number="1M2", sync_estimate="EUR 1,200.50", master_estimate="eur 900")
    first, second = Usage.objects.order_by("pk")
    assert (first.sync_estimate_minor, first.master_estimate_minor, first.estimate_currency) == (120_000, None, "USD")
    assert (second.sync_estimate_minor, second.master_estimate_minor) == (120_050, 90_000)
    assert second.estimate_currency == "EUR"


def test_add_without_a_cut_takes_no_times(client, user, episode):
    episode.current_cut = None
    episode.save()
    response = add(client, HTMX)
    assert "In There is no cut to place it in. Add a cut first." in told(response, "usage-new")
    assert add(client, in_timecode="", out_timecode="").status_code == 302


def test_add_in_a_locked_cut_is_refused_with_its_mend(client, user, episode):
    episode.current_cut.locked = True
    episode.current_cut.save()
    response = add(client, HTMX)
    assert response.status_code == 422
    (sentence,) = told(response, "usage-new")
    assert sentence.endswith("is locked, so no timing in it can change. Unlock the cut, or add a new one.")


# --- changing --------------------------------------------------------------------------------------------------------


def test_save_row_without_htmx_goes_back_to_it(client, user, usage):
    response = save(client, usage, scene="Quay")
    assert response.url == f"/episodes/TIDE-101/#usage-{usage.pk}"
    assert Usage.objects.get().scene == "Quay"


def test_save_row_with_htmx_answers_with_the_row_and_its_new_version(client, user, usage):
    response = save(client, usage, HTMX, out_timecode="+1:00")
    row = values(response, f"usage-{usage.pk}")
    assert (row["version"], row["out_timecode"]) == ("2", "10:03:14:00")
    assert "usage-new" not in response.content.decode()


def test_save_row_keeps_a_song_that_is_shown_by_its_name(client, user, episode):
    recording = RecordingFactory(title="Evening Tide")
    usage = UsageFactory(episode=episode, recording=recording)
    save(client, usage, song="Evening Tide – The Lockkeepers", scene="Quay", in_timecode="", out_timecode="")
    usage.refresh_from_db()
    assert (usage.recording, usage.title, usage.scene) == (recording, "", "Quay")


def test_save_row_without_song_and_times_takes_both_away(client, user, episode):
    usage = UsageFactory(episode=episode, recording=RecordingFactory(), placed=(START, START + 25))
    save(client, usage, song="", in_timecode="", out_timecode="")
    usage.refresh_from_db()
    assert (usage.recording, usage.title, placed(usage)) == (None, "", [])


@pytest.mark.parametrize("headers", [{}, HTMX])
def test_save_row_stale_shows_both_and_saves_when_meant(client, user, usage, headers):
    save(client, usage, scene="Quay", use="on_screen", vocal="on")
    response = save(client, usage, headers, scene="Weir")
    assert response.status_code == 409
    row = values(response, f"usage-{usage.pk}")
    assert (row["scene"], row["version"]) == ("Weir", "2")
    said = told(response, f"usage-{usage.pk}")
    assert "Scene is now saved as “Quay”." in said
    assert "Use is now saved as “On-screen”." in said
    assert "Vocal is now saved as “yes”." in said
    assert save(client, usage, version=row["version"], scene="Weir").status_code == 302
    assert Usage.objects.get().scene == "Weir"


def test_save_row_without_its_version_is_refused(client, user, usage):
    assert save(client, usage, version="", scene="Weir").status_code == 422


@pytest.mark.parametrize("role", [Role.FINANCE, Role.VIEWER])
def test_log_is_not_written_by(client, episode, usage, role):
    sign_in(client, episode, role)
    assert add(client).status_code == 403
    assert save(client, usage).status_code == 403
    assert deed(client, "remove", usage).status_code == 403


# --- duplicate, remove, restore --------------------------------------------------------------------------------------


def test_duplicate_with_htmx_answers_with_the_copy_ready_to_be_timed(client, user, usage):
    response = deed(client, "duplicate", usage, HTMX)
    copied = Usage.objects.exclude(pk=usage.pk).get()
    row = values(response, f"usage-{copied.pk}")
    assert (row["cue_number"], row["in_timecode"]) == ("1M2", "10:02:47:00")
    assert (
        f'id="u{copied.pk}-in_timecode" form="u{copied.pk}" aria-label="In" maxlength="16" value="10:02:47:00" autofocus'
        in (response.content.decode())
    )


def test_duplicate_without_htmx_goes_to_the_copy(client, user, usage):
    response = deed(client, "duplicate", usage)
    copied = Usage.objects.exclude(pk=usage.pk).get()
    assert response.url == f"/episodes/TIDE-101/#usage-{copied.pk}"


def test_remove_and_restore_with_htmx(client, user, usage):
    removed = deed(client, "remove", usage, HTMX)
    assert "1M1 Something slow is removed." in removed.content.decode()
    assert reverse("usage-restore", args=[usage.pk]) in removed.content.decode()
    assert log(client).context["lines"] == []
    restored = deed(client, "restore", usage, HTMX)
    assert values(restored, f"usage-{usage.pk}")["song"] == "Something slow"


def test_remove_without_htmx_offers_the_way_back(client, user, usage):
    page = client.get(deed(client, "remove", usage).url.partition("#")[0]).content.decode()
    assert "1M1 Something slow is removed." in page
    assert f'action="{reverse("usage-restore", args=[usage.pk])}"' in page
    deed(client, "restore", usage)
    assert Usage.objects.get().deleted_at is None


@pytest.mark.parametrize("name", ["duplicate", "remove"])
def test_deed_in_a_locked_cut_is_refused_in_the_row(client, user, episode, usage, name):
    episode.current_cut.locked = True
    episode.current_cut.save()
    response = deed(client, name, usage, HTMX)
    assert (response.status_code, response["HX-Reswap"]) == (409, "none")
    assert "Unlock the cut, or add a new one." in " ".join(told(response, f"usage-{usage.pk}"))
    assert deed(client, name, usage).status_code == 409


def test_restore_of_what_was_never_removed_is_not_found(client, user, usage):
    assert deed(client, "restore", usage).status_code == 404


# --- one usage, and the songs that a text may mean -------------------------------------------------------------------


def test_usage_page_saves_all_its_fields(client, user, usage):
    page = reverse("usage", args=[usage.pk])
    assert client.get(page).status_code == 200
    response = client.post(page, ROW | {"version": "1", "notes": "Ask the estate first."})
    assert response.url == f"/episodes/TIDE-101/#usage-{usage.pk}"
    assert Usage.objects.get().notes == "Ask the estate first."


def test_usage_page_offers_the_songs_that_its_title_may_mean(client, user, episode):
    recording = RecordingFactory(title="Řezeda", artist="Ota Brázda", search_key="rezeda | ota brazda")
    usage = UsageFactory(episode=episode, title="rezeda")
    page = reverse("usage", args=[usage.pk])
    text = f"Řezeda – Ota Brázda · R{recording.pk}"
    assert client.get(page).context["form"].fields["choice"].choices == [("", "None of these"), (text, text)]
    told = ROW | {"version": "1", "song": "rezeda", "in_timecode": "", "out_timecode": "", "choice": text}
    assert client.post(page, told).status_code == 302
    usage.refresh_from_db()
    assert (usage.recording, usage.title) == (recording, "")


def test_usage_page_refuses_in_its_place(client, user, usage):
    response = client.post(reverse("usage", args=[usage.pk]), ROW | {"version": "1", "out_timecode": "later"})
    assert response.status_code == 422
    assert response.context["form"].errors["out_timecode"][0].startswith("“later” is not a timecode.")


def test_songs_are_offered_by_any_part_of_their_names(client, user):
    recording = RecordingFactory(title="Řezeda", artist="Ota Brázda", search_key="rezeda | ota brazda")
    work = WorkFactory(title="Řezeda", search_key="rezeda")
    page = client.get(reverse("song-picker"), {"q": "REZ"}).content.decode()
    assert re.findall(r'data-value="([^"]*)"', page) == [
        f"Řezeda – Ota Brázda · R{recording.pk}",
        f"Řezeda · W{work.pk}",
    ]


def test_songs_are_not_offered_for_nothing(client, user):
    RecordingFactory(search_key="rezeda")
    assert b"data-value" not in client.get(reverse("song-picker"), {"q": "  "}).content


def test_songs_say_so_when_there_are_none(client, user):
    page = client.get(reverse("song-picker"), {"q": "nothing like it"}).content.decode()
    assert "data-value" not in page
    assert "kept as a working title" in page


# --- in French ----------------------------------------------------------------------------------------------------

FRENCH = {"Accept-Language": "fr"}


def test_log_in_french_names_uses_and_writes_amounts_as_it_reads_them(client, user, usage):
    Usage.objects.filter(pk=usage.pk).update(sync_estimate_minor=123450, estimate_currency="EUR")
    page = client.get(reverse("episode-log", args=["TIDE-101"]), headers=FRENCH).content.decode()
    assert re.search(r'<td class="number estimate" data-label="Édition">1\s234,50\sEUR<', page)
    assert '<td class="use">Fond<' in page
    assert '<td class="use">Background<' in log(client).content.decode()


def test_add_in_french_takes_a_comma_before_decimals(client, user, episode):
    assert add(client, headers=FRENCH, sync_estimate="1 234,50", master_estimate="900").status_code == 302
    added = Usage.objects.get()
    assert (added.sync_estimate_minor, added.master_estimate_minor, added.estimate_currency) == (123450, 90000, "USD")


def test_add_in_french_refuses_a_comma_that_may_mean_thousands(client, user, episode):
    answer = add(client, headers=FRENCH, sync_estimate="1,234")
    assert answer.status_code == 422
    assert 'value="1,234"' in answer.content.decode()
    assert not Usage.objects.exists()


def test_save_row_in_french_as_it_was_shown_changes_no_estimate(client, user, usage):
    Usage.objects.filter(pk=usage.pk).update(sync_estimate_minor=123450, estimate_currency="EUR")
    shown = "1\N{NARROW NO-BREAK SPACE}234,50 EUR"
    assert save(client, usage, headers=FRENCH, sync_estimate=shown).status_code == 302
    usage.refresh_from_db()
    assert (usage.sync_estimate_minor, usage.estimate_currency) == (123450, "EUR")


def test_save_row_stale_in_french_tells_only_what_differs(client, user, usage):
    Usage.objects.filter(pk=usage.pk).update(
        sync_estimate_minor=123450, estimate_currency="USD", scene="Quay", version=2
    )
    answer = save(client, usage, headers=FRENCH, sync_estimate="1 234,50")
    told = answer.content.decode()
    assert answer.status_code == 409
    assert "<strong>Scène</strong> est désormais enregistré comme" in told
    assert "<strong>Estimation édition</strong> est désormais" not in told
