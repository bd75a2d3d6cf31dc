"""Every address of the API, under /api/."""

from django.urls import path, re_path
from drf_spectacular.views import SpectacularJSONAPIView

from cureclock.api.answering import AlertsView, LinkAnswersView, ReceiptsView
from cureclock.api.backups import BackupFileView, BackupsView
from cureclock.api.calendars import CalendarView, FeedAnewView, FeedRevokeView, FeedsView
from cureclock.api.check import CheckCoatView, CheckGlueUpView
from cureclock.api.groups import GroupView, WhyView
from cureclock.api.happenings import HappeningsView
from cureclock.api.heartbeat import HeartbeatView
from cureclock.api.identity import NumbersView, WhoAmIView
from cureclock.api.lately import LatelyView
from cureclock.api.ledger import LedgerView
from cureclock.api.library import LibraryView
from cureclock.api.logger_files import (
    LoggerFileDropView,
    LoggerFileLookView,
    LoggerFilesView,
    LoggerFileTakeView,
    SensorFilesView,
)
from cureclock.api.lost import LostView
from cureclock.api.outside import (
    AuditView,
    OutsidePasswordDropView,
    OutsidePasswordView,
    SignInView,
)
from cureclock.api.pairing import PairingLinksView, PairView, PhonesView, UnpairView
from cureclock.api.papers import (
    BatchSheetView,
    CareCardsView,
    TagsView,
    ToldTableView,
    WaitsTableView,
)
from cureclock.api.people import PeopleView, PersonDataView, PersonForgetView
from cureclock.api.pictures import PictureView
from cureclock.api.pieces import CanView, MayManyView, MayView, PieceView
from cureclock.api.plan import ByDayView, DaySheetView, PlanView, WhatIfView
from cureclock.api.readings import ReadingsView
from cureclock.api.review import ReviewView
from cureclock.api.ringing import RingView, WayDropView, WaysView, WayTestView
from cureclock.api.sensors import (
    DoubtedView,
    SensorLockOutView,
    SensorsView,
    SensorTokenView,
)
from cureclock.api.stock import ContainersView, LotsView, WoodView
from cureclock.api.tonight import TonightView
from cureclock.api.view import ViewView

urlpatterns = [
    path("pair", PairView.as_view()),
    path("pairing-links", PairingLinksView.as_view()),
    path("phones", PhonesView.as_view()),
    path("phones/<uuid:ident>/unpair", UnpairView.as_view()),
    path("sensors", SensorsView.as_view()),
    path("sensors/<uuid:ident>/token", SensorTokenView.as_view()),
    path("sensors/<uuid:ident>/lock-out", SensorLockOutView.as_view()),
    path("sensors/<uuid:ident>/logger-files", SensorFilesView.as_view()),
    path("logger-files", LoggerFilesView.as_view()),
    path("logger-files/<uuid:ident>/look", LoggerFileLookView.as_view()),
    path("logger-files/<uuid:ident>/take", LoggerFileTakeView.as_view()),
    path("logger-files/<uuid:ident>/drop", LoggerFileDropView.as_view()),
    path("doubted-readings", DoubtedView.as_view()),
    path("sign-in", SignInView.as_view()),
    path("outside-password", OutsidePasswordView.as_view()),
    path("outside-password/drop", OutsidePasswordDropView.as_view()),
    path("audit", AuditView.as_view()),
    path("people", PeopleView.as_view()),
    path("people/<uuid:ident>/data", PersonDataView.as_view()),
    path("people/<uuid:ident>/forget", PersonForgetView.as_view()),
    path("backups", BackupsView.as_view()),
    path("backups/file", BackupFileView.as_view()),
    path("heartbeat", HeartbeatView.as_view()),
    path("view", ViewView.as_view()),
    path("groups/<uuid:ident>", GroupView.as_view()),
    path("why/<uuid:ident>", WhyView.as_view()),
    path("pieces/<uuid:ident>", PieceView.as_view()),
    path("pieces/<uuid:ident>/may", MayView.as_view()),
    path("pieces/<uuid:ident>/can", CanView.as_view()),
    path("may", MayManyView.as_view()),
    path("plan", PlanView.as_view()),
    path("plan/what-if", WhatIfView.as_view()),
    path("plan/by-day", ByDayView.as_view()),
    path("plan/day-sheet", DaySheetView.as_view()),
    path("review", ReviewView.as_view()),
    path("tables/happenings", ToldTableView.as_view()),
    path("tables/waits", WaitsTableView.as_view()),
    path("papers/batch-sheet", BatchSheetView.as_view()),
    path("papers/care-cards", CareCardsView.as_view()),
    path("papers/tags", TagsView.as_view()),
    path("calendar-feeds", FeedsView.as_view()),
    path("calendar-feeds/<uuid:ident>/anew", FeedAnewView.as_view()),
    path("calendar-feeds/<uuid:ident>/revoke", FeedRevokeView.as_view()),
    path("calendar.ics", CalendarView.as_view()),
    path("lots", LotsView.as_view()),
    path("containers", ContainersView.as_view()),
    path("wood", WoodView.as_view()),
    path("who-am-i", WhoAmIView.as_view()),
    path("pictures/<uuid:ident>", PictureView.as_view()),
    path("numbers", NumbersView.as_view()),
    path("check/glue-up", CheckGlueUpView.as_view()),
    path("check/coat", CheckCoatView.as_view()),
    path("ledger", LedgerView.as_view()),
    path("lately", LatelyView.as_view()),
    path("ring", RingView.as_view()),
    path("ways", WaysView.as_view()),
    path("ways/<uuid:ident>/test", WayTestView.as_view()),
    path("ways/<uuid:ident>/drop", WayDropView.as_view()),
    path("alerts", AlertsView.as_view()),
    path("answers", LinkAnswersView.as_view()),
    path("receipts", ReceiptsView.as_view()),
    path("tonight", TonightView.as_view()),
    path("library", LibraryView.as_view()),
    path("happenings", HappeningsView.as_view()),
    path("readings", ReadingsView.as_view()),
    path("schema", SpectacularJSONAPIView.as_view(), name="schema"),
    re_path(r"", LostView.as_view()),
]
