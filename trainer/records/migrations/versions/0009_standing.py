"""Changes of certificates and of machines, yearly inspections, threats to impartiality, appeals."""

import uuid

import sqlalchemy as sa
from alembic import op

import trainer.records.tables.base

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None

moment = trainer.records.tables.base.UtcMoment


def upgrade() -> None:
    _changes_of_machines()
    _changes_of_certificates()
    _inspections()
    _impartiality()
    _appeals()
    _copy_withdrawals()


def downgrade() -> None:
    for table in (
        "appeal_step", "appeal", "impartiality_entry", "inspection_person", "procedure_inspection",
        "certificate_change", "workplace_change",
    ):  # fmt: skip
        op.drop_table(table)


def _of(table: str, column: str, parent: str) -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint([column], [f"{parent}.id"], name=op.f(f"fk_{table}_{column}"))


def _made(table: str, *more: sa.schema.SchemaItem) -> None:
    """A table with a row number and a public id, beside what is given."""
    op.create_table(
        table,
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("public_id", sa.String(length=36), nullable=False),
        *more,
        sa.PrimaryKeyConstraint("id", name=op.f(f"pk_{table}")),
        sa.UniqueConstraint("public_id", name=op.f(f"uq_{table}_public_id")),
    )


def _changes_of_machines() -> None:
    _made(
        "workplace_change",
        sa.Column("site_id", sa.Integer(), nullable=False),
        sa.Column("machine_id", sa.Integer(), nullable=False),
        sa.Column("cabinet_id", sa.Integer(), nullable=True),
        sa.Column("kind", sa.String(length=16), nullable=False),
        sa.Column("what", sa.Text(), nullable=False),
        sa.Column("since", moment(timezone=True), nullable=False),
        sa.Column("by_id", sa.Integer(), nullable=False),
        sa.Column("at", moment(timezone=True), nullable=False),
        _of("workplace_change", "site_id", "site"),
        _of("workplace_change", "machine_id", "machine"),
        _of("workplace_change", "cabinet_id", "cabinet"),
        _of("workplace_change", "by_id", "person"),
    )
    op.create_index(op.f("ix_workplace_change_site_id"), "workplace_change", ["site_id"])
    op.create_index(op.f("ix_workplace_change_machine_id"), "workplace_change", ["machine_id"])


def _changes_of_certificates() -> None:
    _made(
        "certificate_change",
        sa.Column("certificate_id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=16), nullable=False),
        sa.Column("cause", sa.String(length=32), nullable=False),
        sa.Column("workplace_change_id", sa.Integer(), nullable=True),
        sa.Column("lifts", sa.String(length=36), nullable=True),
        sa.Column("taken", sa.Text(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("since", moment(timezone=True), nullable=False),
        sa.Column("by_id", sa.Integer(), nullable=False),
        sa.Column("at", moment(timezone=True), nullable=False),
        _of("certificate_change", "certificate_id", "certificate"),
        _of("certificate_change", "person_id", "person"),
        _of("certificate_change", "workplace_change_id", "workplace_change"),
        _of("certificate_change", "by_id", "person"),
    )
    op.create_index(op.f("ix_certificate_change_certificate_id"), "certificate_change", ["certificate_id"])
    op.create_index(op.f("ix_certificate_change_person_id"), "certificate_change", ["person_id"])


def _inspections() -> None:
    _made(
        "procedure_inspection",
        sa.Column("site_id", sa.Integer(), nullable=False),
        sa.Column("machine_id", sa.Integer(), nullable=False),
        sa.Column("inspected_on", sa.String(length=10), nullable=False),
        sa.Column("inspector_id", sa.Integer(), nullable=False),
        sa.Column("deviations", sa.Text(), nullable=False),
        sa.Column("by_id", sa.Integer(), nullable=False),
        sa.Column("at", moment(timezone=True), nullable=False),
        _of("procedure_inspection", "site_id", "site"),
        _of("procedure_inspection", "machine_id", "machine"),
        _of("procedure_inspection", "inspector_id", "person"),
        _of("procedure_inspection", "by_id", "person"),
    )
    op.create_index(op.f("ix_procedure_inspection_site_id"), "procedure_inspection", ["site_id"])
    op.create_index(op.f("ix_procedure_inspection_machine_id"), "procedure_inspection", ["machine_id"])
    op.create_table(
        "inspection_person",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("inspection_id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("used", sa.Boolean(), nullable=False),
        _of("inspection_person", "inspection_id", "procedure_inspection"),
        _of("inspection_person", "person_id", "person"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_inspection_person")),
        sa.UniqueConstraint(
            "inspection_id", "person_id", name=op.f("uq_inspection_person_inspection_id_person_id")
        ),
    )


def _impartiality() -> None:
    _made(
        "impartiality_entry",
        sa.Column("threat_id", sa.String(length=36), nullable=False),
        sa.Column("site_id", sa.Integer(), nullable=False),
        sa.Column("threat", sa.Text(), nullable=False),
        sa.Column("treatment", sa.Text(), nullable=False),
        sa.Column("owner_id", sa.Integer(), nullable=False),
        sa.Column("review_on", sa.String(length=10), nullable=False),
        sa.Column("closed", sa.Boolean(), nullable=False),
        sa.Column("by_id", sa.Integer(), nullable=False),
        sa.Column("at", moment(timezone=True), nullable=False),
        _of("impartiality_entry", "site_id", "site"),
        _of("impartiality_entry", "owner_id", "person"),
        _of("impartiality_entry", "by_id", "person"),
    )
    op.create_index(op.f("ix_impartiality_entry_threat_id"), "impartiality_entry", ["threat_id"])
    op.create_index(op.f("ix_impartiality_entry_site_id"), "impartiality_entry", ["site_id"])


def _appeals() -> None:
    _made(
        "appeal",
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("against_kind", sa.String(length=16), nullable=False),
        sa.Column("against", sa.String(length=36), nullable=False),
        sa.Column("grounds", sa.Text(), nullable=False),
        sa.Column("filed_by_id", sa.Integer(), nullable=False),
        sa.Column("filed_at", moment(timezone=True), nullable=False),
        sa.Column("pack", sa.Text(), nullable=False),
        sa.Column("pack_hash", sa.String(length=64), nullable=False),
        _of("appeal", "person_id", "person"),
        _of("appeal", "filed_by_id", "person"),
        sa.UniqueConstraint("against", name=op.f("uq_appeal_against")),
    )
    op.create_index(op.f("ix_appeal_person_id"), "appeal", ["person_id"])
    _made(
        "appeal_step",
        sa.Column("appeal_id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=16), nullable=False),
        sa.Column("outcome", sa.String(length=16), nullable=True),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("by_id", sa.Integer(), nullable=False),
        sa.Column("at", moment(timezone=True), nullable=False),
        _of("appeal_step", "appeal_id", "appeal"),
        _of("appeal_step", "person_id", "person"),
        _of("appeal_step", "by_id", "person"),
    )
    op.create_index(op.f("ix_appeal_step_appeal_id"), "appeal_step", ["appeal_id"])


def _copy_withdrawals() -> None:
    """Withdrawals from before there were changes stand in the certificate alone."""
    certificate = sa.table(
        "certificate",
        sa.column("id"), sa.column("person_id"), sa.column("withdrawn_at", moment(timezone=True)),
        sa.column("withdrawn_by_id"), sa.column("withdrawn_reason"),
    )  # fmt: skip
    names = (
        "public_id", "certificate_id", "person_id", "kind", "cause", "taken", "reason", "since", "by_id", "at"
    )  # fmt: skip
    times = ("since", "at")
    change = sa.table(
        "certificate_change",
        *(sa.column(name, moment(timezone=True)) if name in times else sa.column(name) for name in names),
    )
    rows = op.get_bind().execute(
        sa.select(certificate).where(certificate.c.withdrawn_at.is_not(None)).order_by(certificate.c.id)
    )
    for row in rows.all():
        values = (
            str(uuid.uuid4()), row.id, row.person_id, "withdrawn", "by_manager", "[]", row.withdrawn_reason or "",
            row.withdrawn_at, row.withdrawn_by_id, row.withdrawn_at,
        )  # fmt: skip
        op.get_bind().execute(sa.insert(change).values(dict(zip(names, values, strict=True))))
