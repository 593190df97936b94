"""What exams' answers came to, looks at how questions do, and flags until they are decided."""

import sqlalchemy as sa
from alembic import op

import trainer.records.tables.base

revision = "0014"
down_revision = "0013"
branch_labels = None
depends_on = None

moment = trainer.records.tables.base.UtcMoment(timezone=True)


def upgrade() -> None:
    op.create_table(
        "exam_mark",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("exam_id", sa.Integer(), nullable=False),
        sa.Column("slot", sa.Integer(), nullable=False),
        sa.Column("question", sa.String(length=80), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("scored", sa.Boolean(), nullable=False),
        sa.Column("mark", sa.String(length=12), nullable=False),
        sa.Column("chosen", sa.String(length=80), nullable=False),
        sa.Column("instance", sa.String(length=16), nullable=False),
        _to("exam_mark", "exam_id", "exam"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_exam_mark")),
        sa.UniqueConstraint("exam_id", "slot", name=op.f("uq_exam_mark_exam_id_slot")),
    )
    op.create_index("ix_exam_mark_question", "exam_mark", ["question"])
    op.create_table(
        "question_review",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("site_id", sa.Integer(), nullable=False),
        sa.Column("at", moment, nullable=False),
        sa.Column("answers", sa.Integer(), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        _to("question_review", "site_id", "site"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_question_review")),
        sa.UniqueConstraint("site_id", "at", name=op.f("uq_question_review_site_id_at")),
    )
    op.create_table(
        "question_flag",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("site_id", sa.Integer(), nullable=False),
        sa.Column("question", sa.String(length=80), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("raised_at", moment, nullable=False),
        sa.Column("answers", sa.Integer(), nullable=False),
        sa.Column("reasons", sa.Text(), nullable=False),
        sa.Column("decided_at", moment, nullable=True),
        sa.Column("decision", sa.String(length=8), nullable=True),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("note", sa.Text(), nullable=False),
        _to("question_flag", "site_id", "site"),
        _to("question_flag", "person_id", "person"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_question_flag")),
    )
    op.create_index("ix_question_flag_site_id_question", "question_flag", ["site_id", "question"])


def downgrade() -> None:
    for table in ("question_flag", "question_review", "exam_mark"):
        op.drop_table(table)


def _to(table: str, column: str, parent: str) -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint([column], [f"{parent}.id"], name=op.f(f"fk_{table}_{column}"))
