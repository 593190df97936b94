"""Requests to sit, pauses, extra time, the one place of an exam, its key sheet, what was looked at afterwards."""

from typing import Any

import sqlalchemy as sa
from alembic import op

import trainer.records.tables.base

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None

moment = trainer.records.tables.base.UtcMoment(timezone=True)
ADDED: dict[str, sa.types.TypeEngine[Any]] = {
    "place": sa.String(length=64),
    "allowance": sa.String(length=8),
    "paused_at": moment,
}


def upgrade() -> None:
    with op.batch_alter_table("exam") as batch:
        for name, kind in ADDED.items():
            batch.add_column(sa.Column(name, kind, nullable=True))
    _requests()
    _pauses()
    _allowances()
    _looks()
    _key_sheets()


def downgrade() -> None:
    for table in ("exam_key_sheet", "exam_look", "exam_allowance", "exam_pause", "exam_request"):
        op.drop_table(table)
    with op.batch_alter_table("exam") as batch:
        for name in ADDED:
            batch.drop_column(name)


def _to(table: str, column: str, parent: str) -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint([column], [f"{parent}.id"], name=op.f(f"fk_{table}_{column}"))


def _requests() -> None:
    op.create_table(
        "exam_request",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("public_id", sa.String(length=36), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("scheme", sa.String(length=80), nullable=False),
        sa.Column("kind", sa.String(length=8), nullable=False),
        sa.Column("exam_id", sa.Integer(), nullable=True),
        sa.Column("place", sa.String(length=64), nullable=False),
        sa.Column("asked_at", moment, nullable=False),
        sa.Column("answered_by_id", sa.Integer(), nullable=True),
        sa.Column("admitted_at", moment, nullable=True),
        sa.Column("turned_away_at", moment, nullable=True),
        sa.Column("used_at", moment, nullable=True),
        _to("exam_request", "person_id", "person"),
        _to("exam_request", "exam_id", "exam"),
        _to("exam_request", "answered_by_id", "person"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_exam_request")),
        sa.UniqueConstraint("public_id", name=op.f("uq_exam_request_public_id")),
    )
    op.create_index(op.f("ix_exam_request_person_id"), "exam_request", ["person_id"])
    op.create_index(op.f("ix_exam_request_exam_id"), "exam_request", ["exam_id"])


def _pauses() -> None:
    op.create_table(
        "exam_pause",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("exam_id", sa.Integer(), nullable=False),
        sa.Column("began_by_id", sa.Integer(), nullable=False),
        sa.Column("began_at", moment, nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("ended_by_id", sa.Integer(), nullable=True),
        sa.Column("ended_at", moment, nullable=True),
        sa.Column("credit_seconds", sa.Integer(), nullable=True),
        _to("exam_pause", "exam_id", "exam"),
        _to("exam_pause", "began_by_id", "person"),
        _to("exam_pause", "ended_by_id", "person"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_exam_pause")),
    )
    op.create_index(op.f("ix_exam_pause_exam_id"), "exam_pause", ["exam_id"])


def _allowances() -> None:
    op.create_table(
        "exam_allowance",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("public_id", sa.String(length=36), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("factor", sa.String(length=8), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("approved_by_id", sa.Integer(), nullable=False),
        sa.Column("approved_at", moment, nullable=False),
        sa.Column("ended_by_id", sa.Integer(), nullable=True),
        sa.Column("ended_at", moment, nullable=True),
        _to("exam_allowance", "person_id", "person"),
        _to("exam_allowance", "approved_by_id", "person"),
        _to("exam_allowance", "ended_by_id", "person"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_exam_allowance")),
        sa.UniqueConstraint("public_id", name=op.f("uq_exam_allowance_public_id")),
    )
    op.create_index(op.f("ix_exam_allowance_person_id"), "exam_allowance", ["person_id"])


def _looks() -> None:
    op.create_table(
        "exam_look",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("exam_id", sa.Integer(), nullable=False),
        sa.Column("looked_at", moment, nullable=False),
        sa.Column("keys", sa.Integer(), nullable=False),
        sa.Column("bursts", sa.Integer(), nullable=False),
        sa.Column("fast", sa.Integer(), nullable=False),
        sa.Column("flagged", sa.Boolean(), nullable=False),
        sa.Column("detail", sa.Text(), nullable=False),
        _to("exam_look", "exam_id", "exam"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_exam_look")),
        sa.UniqueConstraint("exam_id", name=op.f("uq_exam_look_exam_id")),
    )


def _key_sheets() -> None:
    op.create_table(
        "exam_key_sheet",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("exam_id", sa.Integer(), nullable=False),
        sa.Column("salt", sa.String(length=64), nullable=False),
        sa.Column("sheet", sa.Text(), nullable=False),
        _to("exam_key_sheet", "exam_id", "exam"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_exam_key_sheet")),
        sa.UniqueConstraint("exam_id", name=op.f("uq_exam_key_sheet_exam_id")),
    )
