"""The pages, one noun after the other; each view module lists its own paths."""

from supervision.web.views import accounts, productions

urlpatterns = [
    *accounts.urlpatterns,
    *productions.urlpatterns,
]
