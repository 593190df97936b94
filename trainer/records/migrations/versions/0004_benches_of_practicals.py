"""Runs of benches that an observer shows with a practical."""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "practical_bench",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("practical_id", sa.Integer(), nullable=False),
        sa.Column("run_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["practical_id"], ["practical.id"], name=op.f("fk_practical_bench_practical_id")
        ),
        sa.ForeignKeyConstraint(["run_id"], ["bench_run.id"], name=op.f("fk_practical_bench_run_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_practical_bench")),
        sa.UniqueConstraint("practical_id", "run_id", name=op.f("uq_practical_bench_practical_id_run_id")),
    )


def downgrade() -> None:
    op.drop_table("practical_bench")
