"""Times as loggers write them, in seconds since 1970 UTC; what may be two days is not guessed."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from intake.clock import FIRST_YEAR
from intake.science.problem import Problem
from intake.science.text import quoted

LAST_YEAR = 2100
"""Years after this are slips of a clock; whether a time is still to come is judged elsewhere."""
FURTHEST_S = 14 * 3600
"""No clock on earth is further ahead of UTC, or behind it [s]."""

DAY_FIRST, MONTH_FIRST = "day-first", "month-first"
ORDERS = (DAY_FIRST, MONTH_FIRST)
MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")

_DATE = (
    r"(?:(?P<y>\d{4})(?P<s>[-/.]?)(?P<m>\d{2}|(?<=[-/.])\d)(?P=s)(?P<d>\d{2}|(?<=[-/.])\d)"
    r"|(?P<a>\d{1,2})(?P<t>[-/.])(?P<b>\d{1,2})(?P=t)(?P<ab>\d{4}|\d{2})"
    r"|(?P<dd>\d{1,2})[-/. ]*(?P<mm>[a-z]{3,9})\.?[-/., ]*(?P<yy>\d{4})"
    r"|(?P<mn>[a-z]{3,9})\.? +(?P<md>\d{1,2}),? +(?P<my>\d{4}))"
)
_CLOCK = (
    r"(?P<h>\d{1,2}):(?P<min>\d{2})(?::(?P<sec>\d{2})(?:[.,]\d{1,9})?)?"
    r"(?:\s*(?P<half>[ap])\.?m\.?)?"
    r"(?:\s*(?P<zone>z|utc|gmt|(?:utc|gmt)?[+\-]\d{2}:?\d{2}))?"
)
_WHOLE = re.compile(rf"{_DATE}(?:t|,?\s+){_CLOCK}", re.ASCII)
_EPOCH = re.compile(r"(\d{10})(?:\d{3})?(?:\.\d+)?", re.ASCII)
_OFFSET = re.compile(r"([+\-])(\d{2}):?(\d{2})")
_LIKE = "like 2026-03-10 14:30"


def order_told(texts: Iterable[str]) -> str | None:
    """Which of day and month comes first, by the first date that can only be read one way.

    "" where the first row leaves nothing open, as 2026-03-10 does; None where every date could
    be both.
    """
    open_ = False
    for text in texts:
        found = _WHOLE.fullmatch(text.strip().casefold())
        if found is None or found["a"] is None:
            if not open_:
                return ""
            continue
        if (told := _order_of(found)) is not None:
            return told
        open_ = True
    return None if open_ else ""


def _order_of(found: re.Match[str]) -> str | None:
    """The order of one date of two numbers and a year; one with dots is always day first."""
    first, second = int(found["a"]), int(found["b"])
    if found["t"] == "." or first > 12:
        return DAY_FIRST
    return MONTH_FIRST if second > 12 else None


def is_moment(text: str) -> bool:
    """Whether it has the form of a date with a time of day."""
    told = text.strip().casefold()
    return bool(_WHOLE.fullmatch(told) or _EPOCH.fullmatch(told))


class Moments:
    """Reads the times of one file, in the order in which they stand there.

    Parameters
    ----------
    where
        Whose time of day a time without offset is.
    order
        `DAY_FIRST` or `MONTH_FIRST`, for dates such as 3/10/2026; "" where there should be none.
    offset_s
        Seconds ahead of UTC of times without offset, where the clock was no one's summer time.
    """

    def __init__(self, where: ZoneInfo, order: str, offset_s: int | None = None) -> None:
        self.where, self.order, self.offset_s = where, order, offset_s
        self.doubled: set[date] = set()
        self.bare = 0
        self._last: int | None = None
        self._falling = False
        self._even: dict[date, int | None] = {}

    def read(self, text: str) -> int | Problem:
        """Seconds since 1970 UTC.

        A time that comes twice that day is told by what stands before it: the first time round,
        unless the file had come further already.
        """
        told = text.strip().casefold()
        found = _WHOLE.fullmatch(told)
        if found is None:
            epoch = _EPOCH.fullmatch(told)
            if epoch is None:
                what = f"{quoted(text.strip())} is no date with a time"
                return Problem("no-such-time", what, _LIKE)
            return int(epoch[1])
        if found["a"] and not self.order and _order_of(found) is None:
            what = f"{quoted(text.strip())} can be read day first or month first"
            return Problem("ambiguous-time", what, "--dates day-first or --dates month-first")
        day = self._day(found)
        second = _second_of_day(found)
        far = found["zone"] is not None and abs(_offset_s(found["zone"])) > FURTHEST_S
        if day is None or second is None or far:
            what = f"{quoted(text.strip())} is no day and time there is"
            return Problem("no-such-time", what, self._hint(found))
        moment = self._placed(day, second, found["zone"])
        if not isinstance(moment, Problem):
            if self._last is not None and moment != self._last and day not in self.doubled:
                self._falling = moment < self._last
            self._last = moment
        return moment

    def clock_said(self) -> str:
        """Whose clock times without an offset were taken for, "" where there were none."""
        if not self.bare:
            return ""
        if self.offset_s is None:
            return f"its times are taken for those of {self.where}"
        sign = "-" if self.offset_s < 0 else "+"
        hours, minutes = divmod(abs(self.offset_s) // 60, 60)
        return f"its times are taken for those of a clock at {sign}{hours:02}:{minutes:02}"

    def _hint(self, found: re.Match[str]) -> str:
        if found["a"] is None or not self.order:
            return _LIKE
        return f"dates are read {self.order.replace('-', ' ')}"

    def _day(self, found: re.Match[str]) -> date | None:
        if found["y"]:
            parts = (int(found["y"]), int(found["m"]), int(found["d"]))
        elif found["a"]:
            one, two = int(found["a"]), int(found["b"])
            order = self.order or _order_of(found)
            month, day = (two, one) if order == DAY_FIRST else (one, two)
            year = int(found["ab"])
            parts = (year + 2000 if len(found["ab"]) == 2 else year, month, day)
        else:
            named = (found["mm"] or found["mn"])[:3]
            month = MONTHS.index(named) + 1 if named in MONTHS else 0
            parts = (int(found["yy"] or found["my"]), month, int(found["dd"] or found["md"]))
        try:
            return date(*parts) if FIRST_YEAR <= parts[0] <= LAST_YEAR else None
        except ValueError:
            return None

    def _placed(self, day: date, second: int, zone: str | None) -> int | Problem:
        self.bare += zone is None
        offset = self.offset_s if zone is None else _offset_s(zone)
        if offset is not None:
            return _midnight(day) + second - offset
        if day not in self._even:
            self._even[day] = self._even_offset(day)
        even = self._even[day]
        return self._uneven(day, second) if even is None else _midnight(day) + second - even

    def _even_offset(self, day: date) -> int | None:
        """Seconds ahead of UTC all day long, None on a day whose clocks are changed."""
        ends = (
            datetime(day.year, day.month, day.day, tzinfo=self.where) + timedelta(hours=h)
            for h in range(0, 25, 3)
        )
        offsets = {moment.replace(fold=fold).utcoffset() for moment in ends for fold in (0, 1)}
        found = offsets.pop()
        return None if offsets or found is None else int(found.total_seconds())

    def _uneven(self, day: date, second: int) -> int | Problem:
        wall = datetime(day.year, day.month, day.day, tzinfo=self.where) + timedelta(
            seconds=second
        )
        early, late = (int(wall.replace(fold=fold).timestamp()) for fold in (0, 1))
        if early == late:
            return early
        if early > late:
            return self._skipped(wall)
        self.doubled.add(day)
        if self._last is None:
            return early
        if early > self._last or late < self._last:
            self._falling = late < self._last
        if self._falling:
            return early if late >= self._last else late
        return late if early <= self._last else early

    def _skipped(self, wall: datetime) -> Problem:
        winter = datetime.fromtimestamp(wall.timestamp() - 86400, UTC).astimezone(self.where)
        offset = winter.isoformat()[-6:]
        what = f"{wall:%Y-%m-%d %H:%M} does not exist: the clocks go forward over it"
        return Problem(
            "no-such-time", what, f"--offset={offset} where the logger keeps winter time"
        )


def read_offset(text: str) -> int | Problem:
    """Seconds ahead of UTC typed as ``+01:00``, ``UTC`` or ``Z``."""
    told = text.strip().casefold()
    if told in ("z", "utc", "gmt") or _OFFSET.fullmatch(told.removeprefix("utc")):
        offset = _offset_s(told)
        if abs(offset) <= FURTHEST_S:
            return offset
    return Problem("no-such-time", f"{quoted(text)} is not an offset", "like +01:00 or UTC")


def _offset_s(zone: str) -> int:
    found = _OFFSET.search(zone)
    if found is None:
        return 0
    seconds = int(found[2]) * 3600 + int(found[3]) * 60
    return -seconds if found[1] == "-" else seconds


def _second_of_day(found: re.Match[str]) -> int | None:
    hour, minute, second = int(found["h"]), int(found["min"]), int(found["sec"] or 0)
    if found["half"]:
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if found["half"] == "p" else 0)
    fits = hour < 24 and minute < 60 and second < 60
    return hour * 3600 + minute * 60 + second if fits else None


def _midnight(day: date) -> int:
    return (day.toordinal() - _EPOCH_DAY) * 86400


_EPOCH_DAY = date(1970, 1, 1).toordinal()
