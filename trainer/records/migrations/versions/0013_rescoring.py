"""Exams that were scored again after a key changed."""

import sqlalchemy as sa
from alembic import op

import trainer.records.tables.base

revision = "0013"
down_revision = "0012"
branch_labels = None
depends_on = None

moment = trainer.records.tables.base.UtcMoment(timezone=True)


def upgrade() -> None:
    op.create_table(
        "exam_rescore",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("public_id", sa.String(length=36), nullable=False),
        sa.Column("act", sa.String(length=36), nullable=False),
        sa.Column("exam_id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("question", sa.String(length=80), nullable=False),
        sa.Column("how", sa.String(length=8), nullable=False),
        sa.Column("old_fingerprint", sa.String(length=64), nullable=False),
        sa.Column("new_fingerprint", sa.String(length=64), nullable=False),
        sa.Column("marks", sa.Text(), nullable=False),
        sa.Column("keys", sa.Text(), nullable=False),
        sa.Column("salt", sa.String(length=64), nullable=False),
        sa.Column("right", sa.Integer(), nullable=False),
        sa.Column("passed", sa.Boolean(), nullable=False),
        sa.Column("lowers", sa.Boolean(), nullable=False),
        sa.Column("result", sa.Text(), nullable=False),
        sa.Column("valid_until", moment, nullable=True),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("by_id", sa.Integer(), nullable=False),
        sa.Column("at", moment, nullable=False),
        sa.Column("seen_at", moment, nullable=True),
        _to("exam_id", "exam"),
        _to("person_id", "person"),
        _to("by_id", "person"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_exam_rescore")),
        sa.UniqueConstraint("public_id", name=op.f("uq_exam_rescore_public_id")),
        sa.UniqueConstraint("act", "exam_id", name=op.f("uq_exam_rescore_act_exam_id")),
    )
    for column in ("exam_id", "person_id", "question"):
        op.create_index(op.f(f"ix_exam_rescore_{column}"), "exam_rescore", [column])


def downgrade() -> None:
    op.drop_table("exam_rescore")


def _to(column: str, parent: str) -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint([column], [f"{parent}.id"], name=op.f(f"fk_exam_rescore_{column}"))
