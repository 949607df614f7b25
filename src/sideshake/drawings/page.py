"""Charts as SVG, and pictures as one page that needs nothing from outside.

A content security policy lets the browser run just the page's own few lines, by their hash, and
load nothing.
"""

import base64
import hashlib
import html
import re
from collections.abc import Sequence
from dataclasses import dataclass

import altair as alt
import vl_convert

from sideshake.drawings.style import BRASS, FIGURES, INK, PAPER, RULE, SERIF

STYLE = f"""
:root {{ color-scheme: light; }}
body {{ margin: 0; background: {PAPER}; color: {INK}; font: 19px/1.5 {SERIF};
  font-variant-numeric: lining-nums tabular-nums; }}
main {{ max-width: 1100px; margin: 0 auto; padding: 28px 16px 40px; }}
h1 {{ font-size: 30px; font-weight: normal; line-height: 1.25; margin: 0 0 10px;
  overflow-wrap: anywhere; }}
.sentence {{ font-size: 23px; line-height: 1.45; margin: 0 0 14px; max-width: 46em; }}
ul {{ margin: 0 0 8px; padding-left: 1.2em; max-width: 46em; }}
li::marker {{ color: {BRASS}; }}
.pictures {{ columns: 350px 2; column-gap: 32px; }}
figure {{ margin: 0 0 14px; padding: 8px 0 0; border-top: 1px solid {RULE}; max-width: 560px;
  break-inside: avoid; }}
figure svg {{ display: block; width: 100%; height: auto; }}
figure output {{ display: block; min-height: 1.4em; font: 17px/1.4 {FIGURES}; }}
g:has(> title):hover {{ opacity: .6; }}
summary {{ padding: 10px 0; cursor: pointer; }}
@media print {{ main {{ padding: 0; }} output {{ display: none; }} }}
"""

PROGRAM = """
for (const figure of document.querySelectorAll("figure")) {
  const told = figure.querySelector("output");
  const tell = (event) => {
    const named = event.target.closest("g:has(> title)");
    if (named) told.textContent = named.querySelector("title").textContent;
  };
  figure.addEventListener("pointerover", tell);
  figure.addEventListener("click", tell);
}
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownPicture:
    """A picture on a page; with a `summary` it is folded away until that is pressed."""

    svg: str
    summary: str = ""


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
    title: str, sentence: str, notes: Sequence[str], pictures: Sequence[ShownPicture]
) -> str:
    """Return one HTML page of pictures; it works from a file and without a network.

    Title, sentence and notes are plain text; they are escaped. What is pointed at or touched says
    under the picture what it is; without scripts, or in print, the pictures are there all the same.
    """
    items = "".join(f"<li>{html.escape(note)}</li>" for note in notes)
    figures = "\n".join(figure(each, number) for number, each in enumerate(pictures))
    return f"""<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="{policy()}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{html.escape(title)}</title>
<style>{STYLE}</style>
</head>
<body>
<main>
<h1>{html.escape(title)}</h1>
<p class="sentence">{html.escape(sentence)}</p>
{f"<ul>{items}</ul>" if items else ""}
<div class="pictures">
{figures}
</div>
</main>
<script>{PROGRAM}</script>
</body>
</html>
"""


def figure(shown: ShownPicture, number: int) -> str:
    """Return a picture with a line under it for what is pointed at."""
    svg = renumbered(shown.svg, f"picture{number}-clip")
    drawn = f"<figure>{svg}<output></output></figure>"
    if not shown.summary:
        return drawn
    return f"<details><summary>{html.escape(shown.summary)}</summary>{drawn}</details>"


def policy() -> str:
    """Return the content security policy: this program, this style, nothing from anywhere.

    References
    ----------
    W3C, Content Security Policy Level 3: hash sources, `default-src 'none'`
    """
    return (
        f"default-src 'none'; script-src '{hash_source(PROGRAM)}'; "
        f"style-src '{hash_source(STYLE)}'; img-src data:; base-uri 'none'; form-action 'none'"
    )


def hash_source(text: str) -> str:
    """Return the text's hash as a content security policy names it."""
    digest = hashlib.sha256(text.encode()).digest()
    return f"sha256-{base64.b64encode(digest).decode()}"
