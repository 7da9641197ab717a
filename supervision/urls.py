"""Every address of the site: the pages at the root, the API under ``/api/v1/``, reference data under ``/admin/``."""

from django.contrib import admin
from django.urls import include, path

urlpatterns = [
    path("", include("supervision.web.urls")),
    path("api/v1/", include("supervision.api.urls")),
    path("admin/", admin.site.urls),
]
