"""A document as a sheet to be set: every block as the plain data the template reads."""

from collections.abc import Mapping
from dataclasses import asdict, fields
from typing import Any

from sideshake.documents.blocks import (
    Abreast,
    Beside,
    Block,
    Document,
    Figures,
    Letterhead,
    Picture,
    Table,
    Whole,
)
from sideshake.documents.typeset import Sheet


def document_sheet(document: Document, *, air: float = 1.0) -> Sheet:
    """Return the document ready for setting, with so much of the usual room for its parts."""
    return Sheet(
        template="document.typ",
        day=document.day,
        said={
            "title": document.title,
            **head_data(document.head),
            "to": document.to.splitlines(),
            "cells": [list(cell) for cell in document.cells],
            "blocks": [block_data(block) for block in document.blocks],
            "foot": document.foot,
            "first_foot": document.first_foot or document.foot,
            "paper": document.paper.value,
            "language": document.language,
            "air": air,
        },
        pictures={picture.name: picture.data for picture in document.pictures},
        invoice_data=document.invoice_data,
    )


def head_data(head: Letterhead) -> Mapping[str, Any]:
    """Return the workshop at the head of a page as the template reads it."""
    logo = picture_data(head.logo) if head.logo else None
    return {"name": head.name, "lines": list(head.lines), "logo": logo}


def block_data(block: Block) -> Mapping[str, Any]:
    """Return a block as the template reads it: its kind and its values."""
    kind = type(block).__name__.lower()
    if isinstance(block, Figures):
        rows = [picture_data(each) for each in block.pictures]
        return {
            "kind": kind, "pictures": rows, "height_mm": block.height_mm, "keep": block.keep,
        }  # fmt: skip
    if isinstance(block, Abreast):
        return {
            "kind": kind,
            "cells": [[block_data(each) for each in cell] for cell in block.cells],
        }
    if isinstance(block, Beside):
        words = [block_data(each) for each in block.words]
        return {
            "kind": kind, "picture": picture_data(block.picture), "words": words,
            "most_mm": list(block.most_mm), "keep": block.keep,
        }  # fmt: skip
    if isinstance(block, Whole):
        parts = [block_data(each) for each in block.parts]
        return {"kind": kind, "parts": parts, "slip": block.slip}
    if isinstance(block, Table):
        return {"kind": kind, **asdict(block), "held": block.held}
    return {"kind": kind, **{each.name: getattr(block, each.name) for each in fields(block)}}


def picture_data(picture: Picture) -> Mapping[str, Any]:
    """Return what the template needs of a picture besides its bytes."""
    return {
        "name": picture.name,
        "alt": picture.alt,
        "caption": picture.caption,
        "wide_mm": picture.wide_mm,
    }
