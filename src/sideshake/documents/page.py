"""A document as one HTML file that carries its pictures, to be mailed or kept."""

import base64
from collections.abc import Callable, Iterator
from html import escape

from sideshake.documents.blocks import (
    Abreast,
    Beside,
    Blanks,
    Block,
    Caution,
    Document,
    Facts,
    Figures,
    Heading,
    Letterhead,
    Picture,
    Points,
    Story,
    Table,
    Whole,
    Words,
)
from sideshake.documents.glyphs import printed
from sideshake.documents.typeset import template_bytes

Address = Callable[[Picture], str]
"""From a picture to the address a page finds it at."""


def carried(picture: Picture) -> str:
    """Return an address that holds the picture itself (RFC 2397)."""
    return f"data:{picture.kind};base64,{base64.b64encode(picture.data).decode()}"


def html_page(document: Document) -> str:
    """Return the document as one self-contained HTML page."""
    cells = "".join(f"<div><span>{escaped(n)}</span>{lined(w)}</div>" for n, w in document.cells)
    body = "\n".join(block_html(block) for block in document.blocks)
    return (
        f'<!doctype html>\n<html lang="{escape(document.language)}"><head><meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{escaped(document.title)}</title>\n"
        f"<style>{template_bytes('document.css').decode()}</style></head><body>\n"
        f"{head_html(document.head)}\n"
        f"<main><h1>{escaped(document.title)}</h1><div class=cells>{cells}</div>\n{body}\n</main>\n"
        f"<footer>{escaped(document.foot)}</footer></body></html>\n"
    )


def head_html(head: Letterhead, address: Address = carried) -> str:
    """Return the workshop at the head of a page."""
    lines = "<br>".join(map(escaped, head.lines))
    logo = f'<img class=logo src="{address(head.logo)}" alt="">' if head.logo else ""
    return f"<header><strong>{logo}{escaped(head.name)}</strong><small>{lines}</small></header>"


def block_html(block: Block, address: Address = carried) -> str:
    """Return one block as HTML; `address` tells where its pictures are, in the page if left out."""
    match block:
        case Heading():
            return f"<h{block.level}>{escaped(block.words)}</h{block.level}>"
        case Words():
            kind = "large" if block.large else "quiet" if block.quiet else "plain"
            return f"<p class={kind} dir=auto>{lined(block.words)}</p>"
        case Story():
            return f"<blockquote dir=auto>{lined(block.words)}</blockquote>"
        case Caution():
            kind = "caution grave" if block.grave else "caution"
            words = f"<strong>{escaped(block.title)}</strong><br>{lined(block.words)}"
            return f'<p class="{kind}">{words}</p>'
        case Beside() | Abreast():
            return f"<div class=figures>{''.join(cells_html(block, address))}</div>"
        case _:
            return rows_html(block, address)


def cells_html(block: Beside | Abreast, address: Address) -> Iterator[str]:
    """Yield what stands side by side."""
    if isinstance(block, Beside):
        yield figure_html(block.picture, address(block.picture))
    for cell in (block.words,) if isinstance(block, Beside) else block.cells:
        yield f"<div>{''.join(block_html(each, address) for each in cell)}</div>"


def rows_html(block: Points | Facts | Figures | Table | Blanks | Whole, address: Address) -> str:
    """Return a block of several rows as HTML."""
    match block:
        case Points():
            return f"<ul>{''.join(f'<li>{lined(each)}</li>' for each in block.items)}</ul>"
        case Facts():
            pairs = (f"<dt>{escaped(n)}</dt><dd dir=auto>{lined(w)}</dd>" for n, w in block.pairs)
            return f"<dl>{''.join(pairs)}</dl>"
        case Figures():
            shown = (figure_html(each, address(each)) for each in block.pictures)
            return f"<div class=figures>{''.join(shown)}</div>"
        case Table():
            return table_html(block)
        case Whole():
            return (
                f"<section>{''.join(block_html(each, address) for each in block.parts)}</section>"
            )
        case Blanks():
            return "".join(f"<p class=blank>{escaped(name)}</p>" for name in block.names)


def figure_html(picture: Picture, source: str) -> str:
    """Return a picture with its words; `source` is its address."""
    caption = f"<figcaption>{escaped(picture.caption)}</figcaption>" if picture.caption else ""
    return f'<figure><img src="{source}" alt="{escaped(picture.alt)}">{caption}</figure>'


def table_html(block: Table) -> str:
    """Return a table; sums are bold, numbers stand to the right."""
    head = "".join(
        f'<th scope="col"{number_class(place, block)}>{escaped(column)}</th>'
        for place, column in enumerate(block.columns)
    )
    rows = (
        f"<tr{' class=sum' if row >= len(block.rows) - block.sums else ''}>"
        + "".join(
            f"<td{number_class(place, block)}>{lined(cell)}</td>"
            for place, cell in enumerate(cells)
        )
        + "</tr>"
        for row, cells in enumerate(block.rows)
    )
    body = "".join(rows)
    table = f"<table><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"
    return f"<div class=wide>{table}</div>"


def number_class(place: int, block: Table) -> str:
    """Return the class of a column of numbers."""
    return " class=number" if place in block.numbers else ""


def lined(words: str) -> str:
    """Return text with its line breaks kept."""
    return "<br>".join(escaped(line) for line in words.splitlines())


def escaped(words: str) -> str:
    """Return text for a page, with the apostrophes of print."""
    return escape(printed(words))
