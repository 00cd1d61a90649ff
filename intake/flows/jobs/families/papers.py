"""What the screens ask to have on paper, and the doses that are told whole."""

from __future__ import annotations

from intake.flows import papers
from intake.flows.jobs import calendar_file, dose_papers, lines, receive, release_words
from intake.flows.jobs.refusals import TwoWays


class PaperJobs(TwoWays):
    """Each makes a file of its own and says where it is, or tells what would be in it."""

    def crossing_paper(self, box: str, bag: int, end: str) -> str:
        return receive.paper(self.desk, box, bag, end)

    def waterline_file(self, name: str, end: str) -> str:
        return papers.file_name(self.desk, name, end)

    def waterline_table(self, name: str, out: str, every: str) -> str:
        return lines.table(self.desk, name, out, every)

    def tub_card(self, name: str, end: str) -> str:
        return dose_papers.card(self.desk, name, end)

    def release_paper(self, subject: str, end: str) -> str:
        return release_words.paper(self.desk, subject, end)

    def doses_met(self, subject: str) -> tuple[tuple[int, str], ...]:
        return dose_papers.doses_met(self.desk, subject)

    def dose_whole(self, entry: int) -> tuple[tuple[str, tuple[str, ...]], ...]:
        return dose_papers.whole(self.desk, entry)

    def dose_paper(self, entry: int, end: str) -> str:
        return dose_papers.record_paper(self.desk, entry, end)

    def calendar_file(self, end: str) -> str:
        return calendar_file.file_name(end)

    def calendar_paper(self, system: str, out: str) -> str:
        return calendar_file.written(self.desk, system, out)
