"""Photos that a site's own questions show."""

import sqlalchemy as sa
from alembic import op

import trainer.records.tables.base

revision = "0012"
down_revision = "0011"
branch_labels = None
depends_on = None

moment = trainer.records.tables.base.UtcMoment(timezone=True)


def upgrade() -> None:
    op.create_table(
        "own_question_photo",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("site_id", sa.Integer(), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("jpeg", sa.Text(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("kept_at", moment, nullable=False),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_own_question_photo_person_id")),
        sa.ForeignKeyConstraint(["site_id"], ["site.id"], name=op.f("fk_own_question_photo_site_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_own_question_photo")),
        sa.UniqueConstraint("site_id", "sha256", name=op.f("uq_own_question_photo_site_id_sha256")),
    )


def downgrade() -> None:
    op.drop_table("own_question_photo")
