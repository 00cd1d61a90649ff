"""The jobs of the screens, on a room: one method each, every one a flow that commands use too."""

from __future__ import annotations

from intake.flows.jobs.families.dose import DoseJobs
from intake.flows.jobs.families.fish import FishJobs
from intake.flows.jobs.families.papers import PaperJobs
from intake.flows.jobs.families.protocols import ProtocolJobs
from intake.flows.jobs.families.quarantine import QuarantineJobs
from intake.flows.jobs.families.receive import ReceiveJobs
from intake.flows.jobs.families.shell import ShellJobs
from intake.flows.jobs.families.today import TodayJobs
from intake.flows.jobs.families.vessels import VesselJobs


class RoomJobs(
    ShellJobs,
    TodayJobs,
    DoseJobs,
    ReceiveJobs,
    QuarantineJobs,
    FishJobs,
    VesselJobs,
    ProtocolJobs,
    PaperJobs,
):
    """What the screens can ask of one room; `intake.screens.jobs.Jobs` says what each is."""
