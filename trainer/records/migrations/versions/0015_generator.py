"""Which generator audited the questions with a sheet's numbers; empty where nobody noted it."""

import sqlalchemy as sa
from alembic import op

revision = "0015"
down_revision = "0014"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column(
        "sheet_check", sa.Column("generator", sa.String(length=12), nullable=False, server_default="")
    )


def downgrade() -> None:
    op.drop_column("sheet_check", "generator")
