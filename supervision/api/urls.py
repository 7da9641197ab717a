"""The API's addresses, one noun after the other; each view module lists its own routes and paths."""

from django.urls import path
from drf_spectacular.views import SpectacularAPIView
from rest_framework.routers import DefaultRouter

from supervision.api.views import (
    accounts,
    asks,
    budgets,
    catalogue,
    clearance,
    credits,  # noqa: A004 - the trade's noun; the interpreter's is of no use here
    cue_sheet_files,
    cue_sheet_filings,
    cue_sheet_readings,
    cue_sheets,
    deadlines,
    forecast,
    imports,
    letters,
    log_files,
    performance_estimate,
    production_files,
    productions,
    reckoner,
    recut,
    releases,
    spotting,
)

router = DefaultRouter()
for noun in (
    catalogue,
    clearance,
    imports,
    letters,
    productions,
    releases,
    spotting,
):
    for prefix, viewset, basename in noun.routes:
        router.register(prefix, viewset, basename=basename)

urlpatterns = [
    path("schema/", SpectacularAPIView.as_view(), name="api-schema"),
    *accounts.paths,
    *asks.paths,
    *budgets.paths,
    *clearance.paths,
    *credits.paths,
    *cue_sheet_files.paths,
    *cue_sheet_readings.paths,
    *cue_sheets.paths,
    *performance_estimate.paths,
    *cue_sheet_filings.paths,
    *deadlines.paths,
    *forecast.paths,
    *imports.paths,
    *letters.paths,
    *log_files.paths,
    *production_files.paths,
    *reckoner.paths,
    *recut.paths,
    *releases.paths,
    *spotting.paths,
    *router.urls,
]
