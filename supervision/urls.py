"""Every address of the site: the pages at the root, the API under ``/api/v1/``, reference data under ``/admin/``."""

from django.contrib import admin
from django.http import HttpRequest, HttpResponse
from django.urls import include, path
from django.views.defaults import page_not_found

from supervision.api.errors import no_such_address

urlpatterns = [
    path("", include("supervision.web.urls")),
    path("api/v1/", include("supervision.api.urls")),
    path("admin/", admin.site.urls),
]


def handler404(request: HttpRequest, exception: Exception) -> HttpResponse:
    """Nothing is at the address: problem details for programs, a page for people."""
    return no_such_address() if request.path.startswith("/api/") else page_not_found(request, exception)
