"""Every address of the site: the pages at the root, the API under ``/api/v1/``, reference data under ``/admin/``."""

from django.contrib import admin
from django.urls import path

urlpatterns = [
    path("admin/", admin.site.urls),
]
