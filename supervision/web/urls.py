"""The pages, one noun after the other; each view module lists its own paths."""

from supervision.web.views import accounts, board, budgets, clearances, home, members, productions

urlpatterns = [
    *home.urlpatterns,
    *accounts.urlpatterns,
    *productions.urlpatterns,
    *members.urlpatterns,
    *board.urlpatterns,
    *budgets.urlpatterns,
    *clearances.urlpatterns,
]
