"""Signed heads of the record log."""

import sqlalchemy as sa
from alembic import op

import trainer.records.tables.base

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "log_head",
        sa.Column("number", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("size", sa.Integer(), nullable=False),
        sa.Column("root", sa.String(length=64), nullable=False),
        sa.Column("head", sa.String(length=64), nullable=False),
        sa.Column("at", trainer.records.tables.base.UtcMoment(timezone=True), nullable=False),
        sa.Column("key", sa.String(length=64), nullable=False),
        sa.Column("signature", sa.String(length=96), nullable=False),
        sa.Column("peaks", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_log_head")),
        sa.UniqueConstraint("size", name=op.f("uq_log_head_size")),
    )


def downgrade() -> None:
    op.drop_table("log_head")
