"""One page for a browser and its printer: everything in one file, every text inert."""

from __future__ import annotations

from html import escape

from intake.science.text import inert

STYLE = """
@page { margin: 12mm; }
* { box-sizing: border-box; }
body { margin: 0 auto; padding: 8mm 0; max-width: 186mm; color: #111; background: #fff;
  font: 10.5pt/1.35 "Liberation Sans", Arial, Helvetica, sans-serif; }
h1 { font-size: 16pt; margin: 0 0 1mm; overflow-wrap: anywhere; }
p { margin: 0 0 3mm; overflow-wrap: anywhere; }
table { border-collapse: collapse; width: 100%; margin: 3mm 0; }
thead { display: table-header-group; }
tr { break-inside: avoid; }
th, td { text-align: right; padding: 0.6mm 2mm; border-bottom: 0.2mm solid #bbb;
  font-variant-numeric: tabular-nums; white-space: nowrap; }
th { border-bottom: 0.4mm solid #111; font-weight: bold; }
ul { padding-left: 5mm; margin: 3mm 0; }
li { margin: 0 0 1mm; }
.sheet { break-before: page; break-inside: avoid; }
.sheet svg { display: block; overflow: visible; }
@media print { body { padding: 0; } }
"""


def said(text: str) -> str:
    """A text as a page may hold it, whatever it is."""
    return escape(inert(text), quote=True)


def page(title: str, body: str) -> str:
    """A whole document; nothing in it is fetched from anywhere and nothing in it runs."""
    policy = "default-src 'none'; style-src 'unsafe-inline'"
    return (
        '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{policy}">\n'
        '<meta name="viewport" content="width=device-width">\n'
        f"<title>{said(title)}</title>\n<style>{STYLE}</style>\n</head>\n"
        f"<body>\n{body}\n</body>\n</html>\n"
    )
