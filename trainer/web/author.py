"""Author: the site sheet as it stands, and a new version of it. Every question of the site uses its numbers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from flask import Blueprint, flash, redirect, render_template, url_for
from flask_wtf import FlaskForm
from werkzeug.wrappers import Response as AnyResponse
from wtforms import TextAreaField
from wtforms.validators import DataRequired, Length

from trainer.acts import sites as acts
from trainer.documents import DocumentError
from trainer.quantities.units import partner
from trainer.quantities.writing import write_quantity
from trainer.records.queries import people
from trainer.sites import VALUES, read_sheet
from trainer.web import words
from trainer.web.checking import check_later, standing_words
from trainer.web.guards import needs
from trainer.web.house import house, me, my_sheet, now, reading
from trainer.web.words import Later, gettext

page = Blueprint("author", __name__)


class SheetForm(FlaskForm):  # type: ignore[misc]
    """A site sheet's text."""

    text = TextAreaField(Later("The sheet"), [DataRequired(), Length(max=100_000)])


@dataclass(frozen=True)
class ValueLine:
    """One named value of the sheet: what it is, how much, in the reader's units."""

    meaning: str
    written: str


@page.route("/sheet", methods=["GET", "POST"])
@needs("author")
def sheet() -> AnyResponse | str | tuple[str, int]:
    """The sheet in force; saving makes a new version, and a sheet with a fault is not saved."""
    form = SheetForm()
    faults: Sequence[str] = ()
    if form.validate_on_submit():
        try:
            return _save(form.text.data or "")
        except DocumentError as error:
            faults = [str(fault) for fault in error.faults]
    with reading() as db:
        saved = people.sheet_in_force(db, me().site_id)
        values = my_sheet(db).values
        checked = standing_words(db, saved.version) if saved else ""
    if not form.is_submitted():
        form.text.data = saved.text if saved else ""
    html = render_template(
        "author/sheet.html",
        form=form,
        faults=faults,
        version=saved.version if saved else 0,
        values=_lines(values),
        checked=checked,
    )
    return (html, 422) if form.is_submitted() else html


def _save(text: str) -> AnyResponse:
    # A browser sends CRLF; the file's own line ends are kept as written by hand.
    plain = text.replace("\r\n", "\n")
    read = read_sheet(plain, gettext("sheet"))
    version = acts.save_sheet(
        house().database, site_id=me().site_id, by=me().id, sheet=read, text=plain, now=now()
    )
    check_later(version)
    flash(gettext("Saved as version %(version)s. New instances use it from now on.") % {"version": version})
    return redirect(url_for("author.sheet"), 303)


def _lines(values: Mapping[str, float]) -> list[ValueLine]:
    language = words.language()
    return [
        ValueLine(
            row.meaning[language], write_quantity(values[name], partner(row.unit, me().system), language)
        )
        for name, row in VALUES.items()
        if name in values
    ]
