"""Measuring for the site sheet."""

import sqlalchemy as sa
from alembic import op

import trainer.records.tables.base

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "measurement",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("site_id", sa.Integer(), nullable=False),
        sa.Column("sheet_version", sa.Integer(), nullable=False),
        sa.Column("field", sa.String(length=160), nullable=False),
        sa.Column("state", sa.String(length=8), nullable=False),
        sa.Column("written", sa.String(length=80), nullable=False),
        sa.Column("sure", sa.Boolean(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("measured_at", trainer.records.tables.base.UtcMoment(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_measurement_person_id")),
        sa.ForeignKeyConstraint(["site_id"], ["site.id"], name=op.f("fk_measurement_site_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_measurement")),
        sa.UniqueConstraint(
            "site_id", "sheet_version", "field", name=op.f("uq_measurement_site_id_sheet_version_field")
        ),
    )
    op.create_table(
        "sheet_check",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("site_id", sa.Integer(), nullable=False),
        sa.Column("sheet_version", sa.Integer(), nullable=False),
        sa.Column("questions", sa.Integer(), nullable=False),
        sa.Column("findings", sa.Text(), nullable=False),
        sa.Column("checked_at", trainer.records.tables.base.UtcMoment(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["site_id"], ["site.id"], name=op.f("fk_sheet_check_site_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_sheet_check")),
        sa.UniqueConstraint("site_id", "sheet_version", name=op.f("uq_sheet_check_site_id_sheet_version")),
    )


def downgrade() -> None:
    op.drop_table("sheet_check")
    op.drop_table("measurement")
