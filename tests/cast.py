"""The small cast that every test knows, stored in a fresh database with sensible defaults."""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import cache

from argon2 import PasswordHasher
from sqlalchemy.event import listen, remove

from trainer.records.database import Database
from trainer.records.migrate import revision_of, upgrade
from trainer.records.tables import Cabinet, Machine, ObserverQualification, Person, Site

_TOLD: dict[str, list[tuple[str, object]]] = {}

MONDAY = datetime(2026, 3, 2, 15, tzinfo=UTC)
PASSWORD = "string between two posts"
PIN = "482915"


@dataclass(frozen=True)
class Cast:
    """Two sites and their people: Ana learns, Tom trains, Mia and Rosa manage, Lee administers, Otto is elsewhere."""

    database: Database
    site: int
    other_site: int
    ana: int
    tom: int
    mia: int
    rosa: int
    lee: int
    otto: int
    conveyor: int
    dryer: int
    main_cabinet: int
    dryer_cabinet: int
    other_machine: int
    other_cabinet: int

    def public_id(self, person: int) -> str:
        """The id that stands for a person in the log and in addresses."""
        with self.database.reading() as db:
            return db.get_one(Person, person).public_id


@cache
def cheap_hash(secret: str) -> str:
    """A real argon2id hash with the least cost, so that a test that types a password stays fast."""
    return PasswordHasher(time_cost=1, memory_cost=8, parallelism=1).hash(secret)


def make_person(database: Database, site: int, name: str, role: str = "learner", **facts) -> int:
    """A stored person; the public id is the name, so that a test reads it."""
    first, last = name.lower().split(" ", 1)
    usual = {
        "public_id": f"{first}-{site}", "sign_in_name": f"{first}.{last}", "password_hash": cheap_hash(PASSWORD),
        "pin_hash": cheap_hash(PIN), "joined_at": MONDAY,
    }  # fmt: skip
    with database.writing() as db:
        person = Person(site_id=site, name=name, role=role, **{**usual, **facts})
        db.add(person)
        db.flush()
        return person.id


def make_tables(database: Database) -> None:
    """Bring the tables into a database; into an empty one by the migrations once a process, then by what these said."""
    kind = database.engine.dialect.name
    if revision_of(database) is not None:
        upgrade(database)
    elif kind not in _TOLD:
        _TOLD[kind] = _told_by_the_migrations(database)
    else:
        with database.writing() as db:
            for statement, values in _TOLD[kind]:
                db.connection().exec_driver_sql(statement, values or None)


def _told_by_the_migrations(database: Database) -> list[tuple[str, object]]:
    told: list[tuple[str, object]] = []

    def note(connection, cursor, statement, values, context, many):
        if not statement.lstrip().upper().startswith(("SELECT", "PRAGMA", "BEGIN")):
            told.append((statement, values))

    listen(database.engine, "before_cursor_execute", note)
    upgrade(database)
    remove(database.engine, "before_cursor_execute", note)
    return told


def make_cast(url: str) -> Cast:
    """Bring the tables into the empty database at `url` and store the cast."""
    database = Database(url)
    make_tables(database)
    site, conveyor, dryer, main, dry = _make_site(database, "Plumb Lane Wash", "America/Chicago")
    elsewhere, other_machine, _, other_cabinet, _ = _make_site(database, "Quarry Road Wash", "America/Denver")
    tom = make_person(database, site, "Tom Becker", "trainer")
    cast = Cast(
        database=database, site=site, other_site=elsewhere,
        ana=make_person(database, site, "Ana Ruiz", trained_by_id=tom, language="es"), tom=tom,
        mia=make_person(database, site, "Mia Okafor", "manager"),
        rosa=make_person(database, site, "Rosa Lind", "manager"),
        lee=make_person(database, site, "Lee Sand", "administrator"),
        otto=make_person(database, elsewhere, "Otto Vance", "manager"),
        conveyor=conveyor, dryer=dryer, main_cabinet=main, dryer_cabinet=dry, other_machine=other_machine,
        other_cabinet=other_cabinet,
    )  # fmt: skip
    for observer, by in ((cast.tom, cast.mia), (cast.mia, cast.rosa), (cast.rosa, cast.mia)):
        for machine in (conveyor, dryer):
            qualify(database, observer, machine, by)
    return cast


def qualify(database: Database, person: int, machine: int, by: int, **facts) -> str:
    """A stored qualification to observe on a machine; gives its public id."""
    public_id = f"q-{person}-{machine}"
    usual = {"grounds": "Years at the tunnel.", "since": MONDAY, "until": MONDAY + timedelta(days=3650)}
    with database.writing() as db:
        db.add(
            ObserverQualification(
                public_id=public_id, person_id=person, machine_id=machine, by_id=by, **{**usual, **facts}
            )
        )
    return public_id


def _make_site(database: Database, name: str, time_zone: str) -> tuple[int, int, int, int, int]:
    with database.writing() as db:
        site = Site(name=name, time_zone=time_zone)
        db.add(site)
        db.flush()
        machines = [Machine(site_id=site.id, key=key.lower(), name=key) for key in ("Conveyor", "Dryer")]
        db.add_all(machines)
        db.flush()
        cabinets = [
            Cabinet(site_id=site.id, key=key, name=said, machine_id=machine.id)
            for key, said, machine in zip(
                ("main", "dryer"), ("Main cabinet", "Dryer cabinet"), machines, strict=True
            )
        ]
        db.add_all(cabinets)
        db.flush()
        return (site.id, *(one.id for one in machines), *(one.id for one in cabinets))
