"""Who may observe, remarks and device times of practicals, the second observer, looks and pictures."""

import sqlalchemy as sa
from alembic import op

import trainer.records.tables.base

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None

moment = trainer.records.tables.base.UtcMoment(timezone=True)


def upgrade() -> None:
    with op.batch_alter_table("practical") as batch:
        batch.add_column(sa.Column("remarks", sa.Text(), server_default="{}", nullable=False))
        batch.add_column(sa.Column("device_times", sa.Text(), server_default="{}", nullable=False))
        batch.add_column(sa.Column("filled_offline", sa.Boolean(), server_default=sa.false(), nullable=False))
        batch.add_column(sa.Column("qualification", sa.String(length=36), nullable=True))
        batch.add_column(sa.Column("asks_second", sa.Boolean(), server_default=sa.false(), nullable=False))
    _qualifications()
    _seconds()
    _looks()
    _shown()
    _pictures()


def downgrade() -> None:
    for table in (
        "practical_picture", "practical_shown", "practical_look", "practical_second", "observer_qualification",
    ):  # fmt: skip
        op.drop_table(table)
    with op.batch_alter_table("practical") as batch:
        for name in ("remarks", "device_times", "filled_offline", "qualification", "asks_second"):
            batch.drop_column(name)


def _of(table: str, column: str, parent: str) -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint([column], [f"{parent}.id"], name=op.f(f"fk_{table}_{column}"))


def _made(table: str, *more: sa.schema.SchemaItem) -> None:
    """A table with a row number, a public id and a person, beside what is given."""
    op.create_table(
        table,
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("public_id", sa.String(length=36), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        *more,
        _of(table, "person_id", "person"),
        sa.PrimaryKeyConstraint("id", name=op.f(f"pk_{table}")),
        sa.UniqueConstraint("public_id", name=op.f(f"uq_{table}_public_id")),
    )
    op.create_index(op.f(f"ix_{table}_person_id"), table, ["person_id"])


def _once(table: str) -> tuple[sa.schema.SchemaItem, ...]:
    """What stands beside one practical, and once at the most."""
    return (
        sa.Column("practical_id", sa.Integer(), nullable=False),
        _of(table, "practical_id", "practical"),
        sa.UniqueConstraint("practical_id", name=op.f(f"uq_{table}_practical_id")),
    )


def _qualifications() -> None:
    _made(
        "observer_qualification",
        sa.Column("machine_id", sa.Integer(), nullable=False),
        sa.Column("grounds", sa.Text(), nullable=False),
        sa.Column("since", moment, nullable=False),
        sa.Column("until", moment, nullable=False),
        sa.Column("by_id", sa.Integer(), nullable=False),
        sa.Column("ended_at", moment, nullable=True),
        sa.Column("ended_by_id", sa.Integer(), nullable=True),
        sa.Column("ended_reason", sa.Text(), nullable=True),
        _of("observer_qualification", "machine_id", "machine"),
        _of("observer_qualification", "by_id", "person"),
        _of("observer_qualification", "ended_by_id", "person"),
    )


def _seconds() -> None:
    _made(
        "practical_second",
        *_once("practical_second"),
        sa.Column("observer_id", sa.Integer(), nullable=False),
        sa.Column("qualification", sa.String(length=36), nullable=False),
        sa.Column("steps", sa.Text(), nullable=False),
        sa.Column("remarks", sa.Text(), nullable=False),
        sa.Column("device_times", sa.Text(), nullable=False),
        sa.Column("filled_offline", sa.Boolean(), server_default=sa.false(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("passed", sa.Boolean(), nullable=False),
        sa.Column("differs", sa.Boolean(), nullable=False),
        sa.Column("signed_at", moment, nullable=False),
        _of("practical_second", "observer_id", "person"),
    )


def _looks() -> None:
    _made(
        "practical_look",
        *_once("practical_look"),
        sa.Column("counts", sa.Boolean(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("by_id", sa.Integer(), nullable=False),
        sa.Column("at", moment, nullable=False),
        _of("practical_look", "by_id", "person"),
    )


def _shown() -> None:
    op.create_table(
        "practical_shown",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("practical_id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("at", moment, nullable=False),
        _of("practical_shown", "practical_id", "practical"),
        _of("practical_shown", "person_id", "person"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_practical_shown")),
        sa.UniqueConstraint(
            "practical_id", "person_id", name=op.f("uq_practical_shown_practical_id_person_id")
        ),
    )
    op.create_index(op.f("ix_practical_shown_person_id"), "practical_shown", ["person_id"])


def _pictures() -> None:
    _made(
        "practical_picture",
        *_once("practical_picture"),
        sa.Column("jpeg", sa.Text(), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("by_id", sa.Integer(), nullable=False),
        sa.Column("at", moment, nullable=False),
        _of("practical_picture", "by_id", "person"),
    )
