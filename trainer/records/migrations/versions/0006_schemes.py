"""Frozen versions of schemes; panels that set a cut, their judges and ratings."""

import sqlalchemy as sa
from alembic import op

import trainer.records.tables.base

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None

moment = trainer.records.tables.base.UtcMoment(timezone=True)


def upgrade() -> None:
    op.create_table(
        "frozen_scheme",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("site_id", sa.Integer(), nullable=False),
        sa.Column("scheme", sa.String(length=80), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("fingerprint", sa.String(length=64), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("frozen_at", moment, nullable=False),
        sa.Column("frozen_by_id", sa.Integer(), nullable=True),
        _to("frozen_scheme", "frozen_by_id", "person"),
        _to("frozen_scheme", "site_id", "site"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_frozen_scheme")),
        sa.UniqueConstraint(
            "site_id", "scheme", "version", name=op.f("uq_frozen_scheme_site_id_scheme_version")
        ),
    )
    _panels()
    _judges()


def downgrade() -> None:
    for table in ("cut_rating", "cut_judge", "cut_panel", "frozen_scheme"):
        op.drop_table(table)


def _to(table: str, column: str, parent: str) -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint([column], [f"{parent}.id"], name=op.f(f"fk_{table}_{column}"))


def _panels() -> None:
    op.create_table(
        "cut_panel",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("public_id", sa.String(length=36), nullable=False),
        sa.Column("site_id", sa.Integer(), nullable=False),
        sa.Column("scheme", sa.String(length=80), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("definition", sa.Text(), nullable=False),
        sa.Column("form", sa.Text(), nullable=False),
        sa.Column("sheet_version", sa.Integer(), nullable=False),
        sa.Column("round", sa.Integer(), nullable=False),
        sa.Column("opened_at", moment, nullable=False),
        sa.Column("opened_by_id", sa.Integer(), nullable=False),
        sa.Column("sealed_at", moment, nullable=True),
        sa.Column("sealed_by_id", sa.Integer(), nullable=True),
        sa.Column("dropped_at", moment, nullable=True),
        sa.Column("cut", sa.Integer(), nullable=True),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("effective_from", moment, nullable=True),
        sa.Column("result", sa.Text(), nullable=True),
        _to("cut_panel", "opened_by_id", "person"),
        _to("cut_panel", "sealed_by_id", "person"),
        _to("cut_panel", "site_id", "site"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_cut_panel")),
        sa.UniqueConstraint("public_id", name=op.f("uq_cut_panel_public_id")),
        sa.UniqueConstraint(
            "site_id", "scheme", "version", "number", name=op.f("uq_cut_panel_site_id_scheme_version_number")
        ),
    )


def _judges() -> None:
    op.create_table(
        "cut_judge",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("panel_id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("qualification", sa.Text(), nullable=False),
        sa.Column("handed_in", sa.Integer(), nullable=False),
        _to("cut_judge", "panel_id", "cut_panel"),
        _to("cut_judge", "person_id", "person"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_cut_judge")),
        sa.UniqueConstraint("panel_id", "person_id", name=op.f("uq_cut_judge_panel_id_person_id")),
    )
    op.create_index(op.f("ix_cut_judge_person_id"), "cut_judge", ["person_id"])
    op.create_table(
        "cut_rating",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("judge_id", sa.Integer(), nullable=False),
        sa.Column("round", sa.Integer(), nullable=False),
        sa.Column("item", sa.Integer(), nullable=False),
        sa.Column("per_cent", sa.Integer(), nullable=False),
        sa.Column("rated_at", moment, nullable=False),
        _to("cut_rating", "judge_id", "cut_judge"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_cut_rating")),
        sa.UniqueConstraint("judge_id", "round", "item", name=op.f("uq_cut_rating_judge_id_round_item")),
    )
