"""Signed heads of the record log; legal holds, forgetting a person."""

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
    moment = trainer.records.tables.base.UtcMoment(timezone=True)
    op.add_column("person", sa.Column("name_salt", sa.String(length=64), nullable=True))
    op.add_column("person", sa.Column("forgotten_at", moment, nullable=True))
    _add_holds()
    _add_proposals()


def _add_holds() -> None:
    moment = trainer.records.tables.base.UtcMoment(timezone=True)
    op.create_table(
        "legal_hold",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("public_id", sa.String(length=36), nullable=False),
        sa.Column("site_id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("placed_by_id", sa.Integer(), nullable=False),
        sa.Column("placed_at", moment, nullable=False),
        sa.Column("lifted_by_id", sa.Integer(), nullable=True),
        sa.Column("lifted_at", moment, nullable=True),
        sa.Column("lifted_reason", sa.Text(), nullable=True),
        sa.ForeignKeyConstraint(["site_id"], ["site.id"], name=op.f("fk_legal_hold_site_id")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_legal_hold_person_id")),
        sa.ForeignKeyConstraint(["placed_by_id"], ["person.id"], name=op.f("fk_legal_hold_placed_by_id")),
        sa.ForeignKeyConstraint(["lifted_by_id"], ["person.id"], name=op.f("fk_legal_hold_lifted_by_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_legal_hold")),
        sa.UniqueConstraint("public_id", name=op.f("uq_legal_hold_public_id")),
    )
    op.create_index(op.f("ix_legal_hold_site_id"), "legal_hold", ["site_id"])
    op.create_index(op.f("ix_legal_hold_person_id"), "legal_hold", ["person_id"])


def _add_proposals() -> None:
    moment = trainer.records.tables.base.UtcMoment(timezone=True)
    op.create_table(
        "forget_proposal",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("public_id", sa.String(length=36), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("proposed_by_id", sa.Integer(), nullable=False),
        sa.Column("proposed_at", moment, nullable=False),
        sa.Column("closed_by_id", sa.Integer(), nullable=True),
        sa.Column("closed_at", moment, nullable=True),
        sa.Column("carried_out", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_forget_proposal_person_id")),
        sa.ForeignKeyConstraint(
            ["proposed_by_id"], ["person.id"], name=op.f("fk_forget_proposal_proposed_by_id")
        ),
        sa.ForeignKeyConstraint(
            ["closed_by_id"], ["person.id"], name=op.f("fk_forget_proposal_closed_by_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_forget_proposal")),
        sa.UniqueConstraint("public_id", name=op.f("uq_forget_proposal_public_id")),
    )
    op.create_index(op.f("ix_forget_proposal_person_id"), "forget_proposal", ["person_id"])


def downgrade() -> None:
    op.drop_table("forget_proposal")
    op.drop_table("legal_hold")
    with op.batch_alter_table("person") as batch:
        batch.drop_column("forgotten_at")
        batch.drop_column("name_salt")
    op.drop_table("log_head")
