"""Runs of benches, their acts, tasks that were given."""

import sqlalchemy as sa
from alembic import op

import trainer.records.tables.base

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "bench_given",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("public_id", sa.String(length=36), nullable=False),
        sa.Column("site_id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("given_by_id", sa.Integer(), nullable=False),
        sa.Column("bench", sa.String(length=80), nullable=False),
        sa.Column("fixed", sa.Text(), nullable=False),
        sa.Column("note", sa.String(length=500), nullable=False),
        sa.Column("sheet_version", sa.Integer(), nullable=False),
        sa.Column("given_at", trainer.records.tables.base.UtcMoment(timezone=True), nullable=False),
        sa.Column("due_at", trainer.records.tables.base.UtcMoment(timezone=True), nullable=True),
        sa.Column("withdrawn_at", trainer.records.tables.base.UtcMoment(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["given_by_id"], ["person.id"], name=op.f("fk_bench_given_given_by_id")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_bench_given_person_id")),
        sa.ForeignKeyConstraint(["site_id"], ["site.id"], name=op.f("fk_bench_given_site_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_bench_given")),
        sa.UniqueConstraint("public_id", name=op.f("uq_bench_given_public_id")),
    )
    op.create_index(op.f("ix_bench_given_person_id"), "bench_given", ["person_id"])
    op.create_index(op.f("ix_bench_given_site_id"), "bench_given", ["site_id"])
    op.create_table(
        "bench_run",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("public_id", sa.String(length=36), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("bench", sa.String(length=80), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("fixed", sa.Text(), nullable=False),
        sa.Column("system", sa.String(length=8), nullable=False),
        sa.Column("sheet_version", sa.Integer(), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("lesson", sa.String(length=80), nullable=True),
        sa.Column("given_id", sa.Integer(), nullable=True),
        sa.Column("started_at", trainer.records.tables.base.UtcMoment(timezone=True), nullable=False),
        sa.Column("ended_at", trainer.records.tables.base.UtcMoment(timezone=True), nullable=True),
        sa.Column("points", sa.Integer(), nullable=True),
        sa.Column("passed", sa.Boolean(), nullable=True),
        sa.Column("failed", sa.Boolean(), nullable=True),
        sa.ForeignKeyConstraint(["given_id"], ["bench_given.id"], name=op.f("fk_bench_run_given_id")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_bench_run_person_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_bench_run")),
        sa.UniqueConstraint("public_id", name=op.f("uq_bench_run_public_id")),
    )
    op.create_index(op.f("ix_bench_run_given_id"), "bench_run", ["given_id"])
    op.create_index(op.f("ix_bench_run_person_id"), "bench_run", ["person_id"])
    op.create_table(
        "bench_act",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("run_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.Column("received_at", trainer.records.tables.base.UtcMoment(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["run_id"], ["bench_run.id"], name=op.f("fk_bench_act_run_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_bench_act")),
        sa.UniqueConstraint("run_id", "number", name=op.f("uq_bench_act_run_id_number")),
    )


def downgrade() -> None:
    op.drop_table("bench_act")
    op.drop_table("bench_run")
    op.drop_table("bench_given")
