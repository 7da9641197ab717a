"""The pages, one noun after the other; each view module lists its own paths."""

from supervision.web.views import (
    accounts,
    board,
    budgets,
    catalogue,
    clearances,
    cue_sheets,
    deadlines,
    forecast,
    home,
    letters,
    members,
    parties,
    productions,
    recordings,
    spotting,
    works,
)

urlpatterns = [
    *home.urlpatterns,
    *deadlines.urlpatterns,
    *accounts.urlpatterns,
    *productions.urlpatterns,
    *members.urlpatterns,
    *board.urlpatterns,
    *budgets.urlpatterns,
    *forecast.urlpatterns,
    *clearances.urlpatterns,
    *letters.urlpatterns,
    *cue_sheets.urlpatterns,
    *spotting.urlpatterns,
    *catalogue.urlpatterns,
    *works.urlpatterns,
    *recordings.urlpatterns,
    *parties.urlpatterns,
]
