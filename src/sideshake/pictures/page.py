"""Charts as texts: an SVG, or one interactive page that needs nothing from outside.

The page carries its own programs and its own still pictures; a content security policy lets the
browser run just these programs, by their hash, and load nothing. Vega's expressions are interpreted
(`ast`), so that the policy can forbid `eval`.
"""

import base64
import functools
import hashlib
import html
import json
import re
from collections.abc import Sequence

import altair as alt
import vl_convert

from sideshake.pictures.style import BRASS, FIGURES, INK, PAPER, RULE, SERIF, WIDTH

STYLE = f"""
:root {{ color-scheme: light; }}
body {{ margin: 0; background: {PAPER}; color: {INK}; font: 19px/1.5 {SERIF};
  font-variant-numeric: lining-nums tabular-nums; }}
main {{ max-width: 1060px; margin: 0 auto; padding: 28px 20px 40px; }}
h1 {{ font-size: 30px; font-weight: normal; line-height: 1.25; margin: 0 0 10px;
  overflow-wrap: anywhere; }}
.sentence {{ font-size: 23px; line-height: 1.45; margin: 0 0 14px; max-width: 46em; }}
ul {{ margin: 0 0 8px; padding-left: 1.2em; max-width: 46em; }}
li::marker {{ color: {BRASS}; }}
figure {{ margin: 22px 0 0; padding: 8px 0 0; border-top: 1px solid {RULE}; }}
figure svg {{ display: block; margin-left: -18px; max-width: calc(100% + 18px); height: auto; }}
#vg-tooltip-element {{ position: fixed; visibility: hidden; z-index: 9; padding: 8px 12px;
  background: {PAPER}; border: 1px solid {INK}; font: 16px/1.4 {FIGURES}; pointer-events: none; }}
#vg-tooltip-element.visible {{ visibility: visible; }}
#vg-tooltip-element td {{ padding: 1px 4px; }}
#vg-tooltip-element td.key {{ text-align: right; opacity: .8; }}
@media print {{ main {{ padding: 0; }} figure {{ break-inside: avoid; }} }}
"""

PROGRAM = f"""
const specs = JSON.parse(document.getElementById("charts").textContent);
const fitted = (spec, width) => ({{
  ...spec,
  ...(spec.width ? {{ width }} : {{}}),
  ...(spec.vconcat ? {{ vconcat: spec.vconcat.map((one) => fitted(one, width)) }} : {{}}),
}});
const draw = () => specs.forEach((spec, number) => {{
  const host = document.getElementById("chart-" + number);
  const width = Math.max(320, Math.min({WIDTH}, host.clientWidth - 215));
  vegaEmbed(host, fitted(spec, width), {{
    mode: "vega-lite", renderer: "svg", actions: false, ast: true, defaultStyle: false,
    tooltip: {{ disableDefaultStyle: true }},
  }});
}});
let drawnWidth = window.innerWidth;
window.addEventListener("resize", lodashDebounce(() => {{
  if (window.innerWidth !== drawnWidth) {{ drawnWidth = window.innerWidth; draw(); }}
}}, 200));
draw();
"""


def svg_text(chart: alt.TopLevelMixin) -> str:
    """Return the chart as SVG; the same chart always gives the same text.

    Its description, where it has one, is what a screen reader says.
    """
    spec = chart.to_dict()
    svg = renumbered(str(vl_convert.vegalite_to_svg(spec)), "clip")
    said = html.escape(spec.get("description", ""))
    return svg.replace("<svg ", f'<svg role="img" aria-label="{said}" ', 1) if said else svg


def renumbered(svg: str, name: str) -> str:
    """Return the SVG with its clip paths named `name` and numbered from 0.

    Vega goes on counting from chart to chart; in one page each chart needs names of its own.

    Examples
    --------
    >>> renumbered('<clipPath id="clip7"/><g clip-path="url(#clip7)"/>', "own")
    '<clipPath id="own0"/><g clip-path="url(#own0)"/>'
    """
    order: dict[str, str] = {}

    def renamed(found: re.Match[str]) -> str:
        number = order.setdefault(found[2], f"{name}{len(order)}")
        return f"{found[1]}{number}"

    return re.sub(r'(id="|url\(#)(clip\d+)', renamed, svg)


def html_page(
    title: str, sentence: str, notes: Sequence[str], charts: Sequence[alt.TopLevelMixin]
) -> str:
    """Return one HTML page with interactive charts; it works from a file and without a network.

    Title, sentence and notes are plain text; they are escaped. Without scripts, or in print, the
    charts are still pictures.
    """
    program = page_program()
    specs = json.dumps([chart.to_dict() for chart in charts]).replace("<", "\\u003c")
    items = "".join(f"<li>{html.escape(note)}</li>" for note in notes)
    figures = "\n".join(
        f'<figure id="chart-{number}">{renumbered(svg_text(chart), f"chart{number}-clip")}</figure>'
        for number, chart in enumerate(charts)
    )
    return f"""<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="{policy(program)}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{html.escape(title)}</title>
<style>{STYLE}</style>
</head>
<body>
<main>
<h1>{html.escape(title)}</h1>
<p class="sentence">{html.escape(sentence)}</p>
{f"<ul>{items}</ul>" if items else ""}
{figures}
</main>
<script type="application/json" id="charts">{specs}</script>
<script>{program}</script>
</body>
</html>
"""


def policy(program: str) -> str:
    """Return the content security policy: this program, this style, nothing from anywhere.

    References
    ----------
    W3C, Content Security Policy Level 3: hash sources, `default-src 'none'`
    """
    return (
        f"default-src 'none'; script-src '{hash_source(program)}'; "
        f"style-src '{hash_source(STYLE)}'; img-src data:; base-uri 'none'; form-action 'none'"
    )


def hash_source(text: str) -> str:
    """Return the text's hash as a content security policy names it."""
    digest = hashlib.sha256(text.encode()).digest()
    return f"sha256-{base64.b64encode(digest).decode()}"


@functools.cache
def page_program() -> str:
    """Return the page's whole script: the chart library, and what draws the charts with it.

    Bundling takes seconds and always gives the same, so it is done once.
    """
    program = str(vl_convert.javascript_bundle(PROGRAM))
    return program.replace("</script", "<\\/script").replace("<!--", "<\\!--")
