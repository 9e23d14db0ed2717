"""The entry table as SQLAlchemy's object mapper sees it: the floor for reading and writing."""

from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column


class Base(DeclarativeBase):
    """The mapper's base."""


class MappedEntry(Base):
    """One row."""

    __tablename__ = "entry"
    arrival: Mapped[int] = mapped_column(primary_key=True)
    id: Mapped[str]
    kind: Mapped[str]
    at: Mapped[int]
    at_offset: Mapped[int]
    zone: Mapped[str]
    recorded_at: Mapped[int]
    by: Mapped[str]
    details: Mapped[str]
    note: Mapped[str]
    source: Mapped[str]
    amends: Mapped[str | None]
    reason: Mapped[str]
    withdrawn: Mapped[int]
    content_hash: Mapped[str]
    link: Mapped[str]
    installation: Mapped[int]
