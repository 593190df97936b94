"""Signing keys and their time, places in the status lists, certificates signed again."""

import sqlalchemy as sa
from alembic import op

import trainer.records.tables.base

revision = "0010"
down_revision = "0009"
branch_labels = None
depends_on = None


def upgrade() -> None:
    moment = trainer.records.tables.base.UtcMoment
    op.create_table(
        "signing_key",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("public_key", sa.String(length=64), nullable=False),
        sa.Column("address", sa.String(length=200), nullable=False),
        sa.Column("from_at", moment(timezone=True), nullable=False),
        sa.Column("until_at", moment(timezone=True), nullable=True),
        sa.Column("retired_because", sa.String(length=16), nullable=True),
        sa.Column("compromised_since", moment(timezone=True), nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_signing_key")),
        sa.UniqueConstraint("public_key", name=op.f("uq_signing_key_public_key")),
    )
    op.create_table(
        "status_place",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("certificate_id", sa.Integer(), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["certificate_id"], ["certificate.id"], name=op.f("fk_status_place_certificate_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_status_place")),
        sa.UniqueConstraint("certificate_id", name=op.f("uq_status_place_certificate_id")),
        sa.UniqueConstraint("place", name=op.f("uq_status_place_place")),
    )
    op.create_table(
        "signed_again",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("certificate_id", sa.Integer(), nullable=False),
        sa.Column("key_id", sa.Integer(), nullable=False),
        sa.Column("credential", sa.Text(), nullable=False),
        sa.Column("signed_at", moment(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["certificate_id"], ["certificate.id"], name=op.f("fk_signed_again_certificate_id")
        ),
        sa.ForeignKeyConstraint(["key_id"], ["signing_key.id"], name=op.f("fk_signed_again_key_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_signed_again")),
        sa.UniqueConstraint("certificate_id", "key_id", name=op.f("uq_signed_again_certificate_id_key_id")),
    )
    op.create_index(op.f("ix_signed_again_certificate_id"), "signed_again", ["certificate_id"])


def downgrade() -> None:
    op.drop_table("signed_again")
    op.drop_table("status_place")
    op.drop_table("signing_key")
