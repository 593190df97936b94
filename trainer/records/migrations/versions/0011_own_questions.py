"""Questions that a site writes itself: texts and the steps of their life."""

import sqlalchemy as sa
from alembic import op

import trainer.records.tables.base

revision = "0011"
down_revision = "0010"
branch_labels = None
depends_on = None

moment = trainer.records.tables.base.UtcMoment(timezone=True)


def upgrade() -> None:
    op.create_table(
        "own_question",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=80), nullable=False),
        sa.Column("site_id", sa.Integer(), nullable=False),
        sa.Column("begun_at", moment, nullable=False),
        _to("own_question", "site_id", "site"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_own_question")),
        sa.UniqueConstraint("name", name=op.f("uq_own_question_name")),
    )
    op.create_index(op.f("ix_own_question_site_id"), "own_question", ["site_id"])
    op.create_table(
        "own_question_text",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("question_id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("fingerprint", sa.String(length=64), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("saved_at", moment, nullable=False),
        _to("own_question_text", "question_id", "own_question"),
        _to("own_question_text", "person_id", "person"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_own_question_text")),
    )
    op.create_index(
        "ix_own_question_text_question_id_version", "own_question_text", ["question_id", "version"]
    )
    op.create_index(op.f("ix_own_question_text_fingerprint"), "own_question_text", ["fingerprint"])
    op.create_table(
        "own_question_step",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("question_id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=16), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("at", moment, nullable=False),
        _to("own_question_step", "person_id", "person"),
        _to("own_question_step", "question_id", "own_question"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_own_question_step")),
    )
    op.create_index(op.f("ix_own_question_step_question_id"), "own_question_step", ["question_id"])


def downgrade() -> None:
    for table in ("own_question_step", "own_question_text", "own_question"):
        op.drop_table(table)


def _to(table: str, column: str, parent: str) -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint([column], [f"{parent}.id"], name=op.f(f"fk_{table}_{column}"))
