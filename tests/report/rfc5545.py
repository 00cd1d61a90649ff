"""A reader of iCalendar written from RFC 5545 alone, which stops at the first rule that is broken.

It shares nothing with the library the file is made with, nor with the other one that reads it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta

# section 3.1: contentline = name *(";" param) ":" value; quoted parameters are not written here
_LINE = re.compile(r"([A-Z0-9-]+)((?:;[A-Z0-9-]+=[^\x00-\x1f\";:,]+)*):(.*)", re.DOTALL)
_UTC = re.compile(r"\d{8}T\d{6}Z")
_LOCAL = re.compile(r"\d{8}T\d{6}")
_DAY = re.compile(r"\d{8}")
_OFFSET = re.compile(r"([+-])(\d\d)(\d\d)(\d\d)?")  # 3.3.14
_DURATION = re.compile(r"[+-]?P(\d+W|(\d+D)?(T(\d+H)?(\d+M)?(\d+S)?)?)")  # 3.3.6
_TEXTS = ("SUMMARY", "DESCRIPTION", "CATEGORIES", "NAME", "X-WR-CALNAME", "X-INTAKE-STATE")
_ONCE = ("UID", "DTSTAMP", "DTSTART", "DTEND", "SEQUENCE", "STATUS", "SUMMARY", "DESCRIPTION",
         "LAST-MODIFIED", "TRANSP", "CLASS", "URL", "LOCATION")  # fmt: skip


@dataclass
class Part:
    """A component: its lines by name, each with its parameters, and the components in it."""

    name: str
    lines: dict[str, list[tuple[dict[str, str], str]]] = field(default_factory=dict)
    parts: list[Part] = field(default_factory=list)

    def one(self, name: str) -> tuple[dict[str, str], str]:
        (found,) = self.lines[name]
        return found

    def text(self, name: str) -> str:
        """A TEXT value without its escapes (3.3.11)."""
        return re.sub(
            r"\\(.)", lambda m: {"n": "\n", "N": "\n"}.get(m[1], m[1]), self.one(name)[1]
        )

    def of(self, name: str) -> list[Part]:
        return [part for part in self.parts if part.name == name]


def read(data: bytes) -> Part:
    """The calendar of a file that breaks no rule."""
    assert data.endswith(b"\r\n"), "3.1: lines end in CRLF"
    physical = data[:-2].split(b"\r\n")
    for line in physical:
        assert b"\r" not in line
        assert b"\n" not in line
        assert len(line) <= 75, ("3.1: 75 octets", line)
        assert not re.search(rb"[\x00-\x08\x0a-\x1f\x7f]", line), ("3.1: no controls", line)
        line.decode("utf-8")  # no character is cut in two
    unfolded: list[str] = []
    for line in physical:
        if line.startswith((b" ", b"\t")):
            unfolded[-1] += line[1:].decode("utf-8")
        else:
            unfolded.append(line.decode("utf-8"))
    calendar = _nested(unfolded)
    _check_calendar(calendar)
    return calendar


def _nested(lines: list[str]) -> Part:
    top = Part("")
    open_: list[Part] = [top]
    for line in lines:
        match = _LINE.fullmatch(line)
        assert match, line
        name, params, value = match[1], match[2], match[3]
        if name == "BEGIN":
            part = Part(value)
            open_[-1].parts.append(part)
            open_.append(part)
        elif name == "END":
            assert open_.pop().name == value
        else:
            known = dict(p.split("=", 1) for p in params.split(";") if p)
            open_[-1].lines.setdefault(name, []).append((known, value))
            if name in _TEXTS:
                _check_text(value)
    assert open_ == [top]
    assert not top.lines
    (calendar,) = top.parts
    return calendar


def _check_text(value: str) -> None:
    """3.3.11: only \\\\ \\; \\, \\n and \\N are escapes, and ; and , stand nowhere without one."""
    bare = re.sub(r"\\[\\;,nN]", "", value)
    assert not set(bare) & set("\\;,"), value


def _check_calendar(calendar: Part) -> None:
    assert calendar.name == "VCALENDAR"
    assert calendar.one("VERSION") == ({}, "2.0")
    assert calendar.one("PRODID")[1]
    assert "METHOD" not in calendar.lines, "a METHOD asks for an ORGANIZER (RFC 5546 3.2.1)"
    zones = {zone.one("TZID")[1]: zone for zone in calendar.of("VTIMEZONE")}
    assert len(zones) == len(calendar.of("VTIMEZONE"))
    for zone in zones.values():
        assert zone.parts
        for rule in zone.parts:
            assert rule.name in ("STANDARD", "DAYLIGHT")
            assert _LOCAL.fullmatch(rule.one("DTSTART")[1]), "3.8.2.4: local time"
            assert _OFFSET.fullmatch(rule.one("TZOFFSETFROM")[1])
            assert _OFFSET.fullmatch(rule.one("TZOFFSETTO")[1])
    events = calendar.of("VEVENT")
    uids = [event.one("UID")[1] for event in events]
    assert len(set(uids)) == len(uids)
    for event in events:
        _check_event(calendar, event)


def _check_event(calendar: Part, event: Part) -> None:
    for name in _ONCE:
        assert len(event.lines.get(name, [])) <= 1, name
    for name in ("DTSTAMP", "LAST-MODIFIED"):
        assert _UTC.fullmatch(event.one(name)[1]), "3.8.7.2: UTC"
    assert event.one("STATUS")[1] in ("TENTATIVE", "CONFIRMED", "CANCELLED")
    assert event.one("TRANSP")[1] in ("OPAQUE", "TRANSPARENT")
    assert 0 <= int(event.one("SEQUENCE")[1]) < 2**31
    start, end = moment(calendar, event, "DTSTART"), moment(calendar, event, "DTEND")
    assert isinstance(start, datetime) == isinstance(end, datetime)
    assert start < end
    for alarm in event.of("VALARM"):
        assert alarm.one("ACTION")[1] == "DISPLAY"
        assert alarm.one("DESCRIPTION")[1]
        assert _DURATION.fullmatch(alarm.one("TRIGGER")[1])


def moment(calendar: Part, event: Part, name: str) -> date | datetime:
    """A day, or the instant, by the file's own time zones."""
    params, value = event.one(name)
    if params.get("VALUE") == "DATE":
        assert _DAY.fullmatch(value)
        return datetime.strptime(value, "%Y%m%d").replace(tzinfo=UTC).date()
    if "TZID" not in params:
        assert _UTC.fullmatch(value), "a time that floats is another one everywhere"
        return datetime.strptime(value, "%Y%m%dT%H%M%SZ").replace(tzinfo=UTC)
    (zone,) = (z for z in calendar.of("VTIMEZONE") if z.one("TZID")[1] == params["TZID"])
    return instant(zone, value)


def instant(zone: Part, local: str) -> datetime:
    """Of a local time (3.3.5): one that comes twice is the first, one left out goes by before.

    3.6.5: the rule in force began last before it; each begins at its DTSTART by the clock that
    was before it, TZOFFSETFROM.
    """
    wall = datetime.strptime(local, "%Y%m%dT%H%M%S").replace(tzinfo=UTC)
    onsets = sorted(
        (
            datetime.strptime(r.one("DTSTART")[1], "%Y%m%dT%H%M%S").replace(tzinfo=UTC)
            - offset(r, "TZOFFSETFROM"),
            offset(r, "TZOFFSETFROM"),
            offset(r, "TZOFFSETTO"),
        )
        for r in zone.parts
    )
    assert onsets[0][0] <= wall - onsets[0][2]
    for n, (onset, before, after) in enumerate(onsets):
        candidate = wall - after
        until = onsets[n + 1][0] if n + 1 < len(onsets) else None
        if until is None or candidate < until:
            return candidate if candidate >= onset else wall - before
    raise AssertionError(local)


def offset(rule: Part, name: str) -> timedelta:
    match = _OFFSET.fullmatch(rule.one(name)[1])
    assert match
    size = timedelta(hours=int(match[2]), minutes=int(match[3]), seconds=int(match[4] or 0))
    return -size if match[1] == "-" else size


def duration(text: str) -> timedelta:
    """3.3.6."""
    match = re.fullmatch(
        r"([+-]?)P(?:(\d+)W)?(?:(\d+)D)?(?:T(?:(\d+)H)?(?:(\d+)M)?(?:(\d+)S)?)?", text
    )
    assert match
    weeks, days, hours, minutes, seconds = (int(g or 0) for g in match.groups()[1:])
    size = timedelta(weeks=weeks, days=days, hours=hours, minutes=minutes, seconds=seconds)
    return -size if match[1] == "-" else size
