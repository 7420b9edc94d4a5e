"""The look of what goes by e-mail: inline styles, as many mail programs drop all others.

Ink on white, no colour beside. Every cell says its ground and its ink, so that neither is left to a
program that changes only one of them; what stands in a cell takes its type from there.
"""

from __future__ import annotations

INK, SOFT, GROUND, RULE = "#1f1f1f", "#505050", "#ffffff", "#8a8a8a"
FONT = "font-family:Helvetica,Arial,sans-serif"
#: Long words break rather than widen a phone's window; the older name is for older programs.
BREAK = "word-wrap:break-word;overflow-wrap:break-word"

_TYPE = f"{FONT};font-size:16px;line-height:24px"
_SMALL = f"font-size:14px;line-height:20px;color:{SOFT}"
_WHOLE = "width:100%;max-width:600px;border-collapse:collapse;table-layout:fixed"
_CELL = f"background-color:{GROUND};color:{INK};{_TYPE};{BREAK}"
_CODE = "font-family:Consolas,Menlo,monospace;font-size:14px;line-height:20px"

#: By what it is for. Text is never smaller than 14 px.
LOOK = {
    "page": f"margin:0;padding:0;background-color:{GROUND};color:{INK}",
    "table": _WHOLE,
    "centred": f"{_WHOLE};margin:0 auto",
    "cell": f"padding:16px 12px;{_CELL}",
    "bare": f"padding:0;{_CELL}",
    "foot": f"padding:16px 12px;border-top:1px solid {RULE};{_CELL}",
    "masthead": f"margin:0;font-size:28px;line-height:34px;font-weight:bold;color:{INK}",
    "group": f"margin:0;font-size:24px;line-height:30px;font-weight:bold;color:{INK}",
    "heading": f"margin:0 0 4px;font-size:20px;line-height:26px;font-weight:bold;color:{INK}",
    "p": "margin:0 0 10px",
    "small": f"margin:0 0 10px;{_SMALL}",
    "notice": f"margin:0 0 10px;padding:8px 10px;border:2px solid {INK}",
    "picture": "display:block;width:100%;max-width:600px;height:auto;border:0;margin:0 0 12px;"
    f"{_SMALL}",
    "figures": "width:100%;border-collapse:collapse;table-layout:fixed;margin:0 0 10px;"
    f"border-top:1px solid {RULE};border-bottom:1px solid {RULE}",
    "figure": f"padding:8px 8px 8px 0;vertical-align:top;background-color:{GROUND};{FONT};{_SMALL};"
    f"{BREAK}",
    "big": f"font-size:26px;line-height:32px;color:{INK}",
    "link": f"color:{INK};text-decoration:underline",
    "around": f"color:{SOFT};text-decoration:none",
    "list": "margin:0 0 10px;padding:0 0 0 24px",
    "quote": f"margin:0 0 10px;padding:0 0 0 12px;border-left:3px solid {RULE}",
    "code": _CODE,
    "pre": f"margin:0 0 10px;white-space:pre-wrap;{_CODE}",
    "rule": f"margin:12px 0;border:0;border-top:1px solid {RULE}",
    "preheader": "display:none;max-height:0;overflow:hidden;font-size:14px",
}

#: A style sheet for programs that keep it: the dark page. All else stands without it.
DARK = (
    "@media (prefers-color-scheme:dark){body,td{background-color:#1c1c1c!important}"
    "body,td,p,li,h1,h2,h3,h4,h5,h6,a,span,img{color:#e8e8e8!important}"
    "p,blockquote,hr,table,td{border-color:#9a9a9a!important}}"
)
