"""Each entry in force as its resource, with who wrote it when."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from carelog.analysis.in_force import Held
from carelog.analysis.marks import way, who
from carelog.analysis.titles import with_titles
from carelog.analysis.visit.signed import Signed, since_words
from carelog.domain.entry import Details
from carelog.domain.flag import Flag
from carelog.domain.kind import Kind
from carelog.domain.moment import Home, Instant, Moment, whole_second
from carelog.export.fhir.findings import components
from carelog.export.fhir.words import (
    ENTRY_IDS,
    OWN_SYSTEM,
    SNOMED,
    TRACHEOSTOMY_TUBE,
    Resource,
    concept,
    derived,
    named,
    narrative,
    quantity,
    reference,
    url,
)
from carelog.kinds import named_or_unknown, task_title
from carelog.kinds.contact import CONTACT
from carelog.kinds.tube_change import TUBE_CHANGE
from carelog.text import mark, say

_ROLES = {"nurse": "Practitioner", "carer": "Practitioner", "relative": "RelatedPerson", "self": "Patient"}
_ACTS = {False: mark("written down"), True: mark("changed")}


def instant(moment: Instant) -> str:
    """A moment in UTC, to the second."""
    return Moment(whole_second(moment)).text()


@dataclass(frozen=True, slots=True)
class ResourceWriter:
    """Makes the resources of one person's document."""

    patient: str
    people: Mapping[str, Resource]
    """By initials, a reference to who writes."""
    home: Home
    signed: Signed
    since_signed: Mapping[str, int]
    """By the first versions of signatures, how many entries of their days were changed since."""

    def by(self, initials: str) -> Resource:
        """Who wrote something: a reference, or the initials alone."""
        return self.people.get(initials) or named(who(initials))

    def of(self, held: Held) -> Iterator[Resource]:
        """The resources of an entry, the main one first, and who wrote it when."""
        kind = named_or_unknown(held.entry.kind)
        main = self._main(kind, held)
        found = [main] if main is not None else []
        if main is None or (kind.export.has_findings and main["resourceType"] in ("Procedure", "CarePlan")):
            found += self._findings(kind, held, main)
        yield from found
        yield self._provenance(held, [each["id"] for each in found])

    def _main(self, kind: Kind, held: Held) -> Resource | None:
        if kind.export.resource == "Procedure":
            return self._procedure(kind, held)
        if kind.export.resource == "Communication":
            return self._communication(kind, held)
        if kind.export.resource == "CarePlan":
            return self._plan(held)
        return None

    def _about(self, held: Held, resource: str, identity: str) -> Resource:
        kind = named_or_unknown(held.entry.kind)
        line = kind.line(with_titles(kind.name, held.entry.details))
        lines = [f"{say(kind.title)}: {line}" if line else say(kind.title), held.entry.note]
        after = self._after_signing(held)
        return {
            "resourceType": resource,
            "id": identity,
            **({"meta": {"tag": [_tag(after)]}} if after else {}),
            "text": narrative([*lines, after]),
            "identifier": [{"system": ENTRY_IDS, "value": url(held.entry.id)}],
        }

    def _after_signing(self, held: Held) -> str:
        """What was done after its day was signed, or to others after this signature; empty: nothing."""
        after = self.signed.after(held.chain)
        if after is not None:
            return after.words(self.home, held.entry.at.instant)
        count = self.since_signed.get(held.first.id, 0)
        return since_words(count) if count else ""

    def _procedure(self, kind: Kind, held: Held) -> Resource:
        entry = held.entry
        found = self._about(held, "Procedure", held.first.id) | {
            "status": "completed" if kind.does(entry.details) else "not-done",
            "code": concept(kind.name, say(kind.title)),
            "subject": reference(self.patient),
            "performedDateTime": entry.at.text(),
            "recorder": self.by(held.first.by),
        }
        line = kind.line(entry.details)
        notes = [line if not kind.export.has_findings else "", entry.note]
        return found | _noted(notes)

    def _findings(self, kind: Kind, held: Held, main: Resource | None) -> Iterator[Resource]:
        entry = held.entry
        parts = list(components(kind, entry.details))
        if main is not None and not parts:
            return
        identity = held.first.id if main is None else derived("findings", held.first.id)
        found = self._about(held, "Observation", identity) | {
            "status": "amended" if held.corrected else "final",
            "code": concept(kind.name, say(kind.title)),
            "subject": reference(self.patient),
            "effectiveDateTime": entry.at.text(),
            "issued": instant(entry.recorded_at),
            "performer": [self.by(held.first.by)],
        }
        if main is not None:
            field = "partOf" if main["resourceType"] == "Procedure" else "basedOn"
            found[field] = [reference(main["id"])]
        if parts:
            found["component"] = parts
        else:
            found["valueString"] = entry.note.strip() or say(kind.title)
        yield found | (_noted([entry.note]) if main is None else {})

    def _communication(self, kind: Kind, held: Held) -> Resource:
        entry = held.entry
        told = [entry.details.get("told", ""), entry.note, kind.line(entry.details)]
        payload = [{"contentString": text} for text in dict.fromkeys(told) if text.strip()]
        found = self._about(held, "Communication", held.first.id) | {
            "status": "completed",
            "topic": concept(kind.name, say(kind.title)),
            "subject": reference(self.patient),
            "sent": entry.at.text(),
            "sender": self.by(held.first.by),
        }
        return found | ({"payload": payload} if payload else {})

    def _plan(self, held: Held) -> Resource:
        details = held.entry.details
        tasks = [
            {"detail": {"status": "in-progress", "description": words}}
            for task in details.get("tasks", [])
            if (words := task_title(task["kind"], task.get("where", {}))).strip()
        ]
        found = self._about(held, "CarePlan", held.first.id) | {
            "status": "active",
            "intent": "plan",
            "title": say(mark("Care plan")),
            "subject": reference(self.patient),
            "period": {"start": details.get("from", held.entry.at.text())},
            "created": instant(held.entry.recorded_at),
            "contributor": [named(details["set_by"])] if str(details["set_by"]).strip() else [],
            "activity": tasks,
        }
        found = {name: value for name, value in found.items() if value != []}
        return found | _noted([str(details.get("instructions", ""))])

    def _provenance(self, held: Held, targets: list[str]) -> Resource:
        entry = held.entry
        earlier = [each for each in way(held) if each.id != entry.id]
        words, after = say(_ACTS[bool(earlier)]), self._after_signing(held)
        found: Resource = {
            "resourceType": "Provenance",
            "id": derived("provenance", entry.id),
            **({"meta": {"tag": [_tag(after)]}} if after else {}),
            "text": narrative(
                [f"{words}: {who(entry.by)}, {instant(entry.recorded_at)}", entry.reason, after]
            ),
            "target": [reference(each) for each in targets],
            "occurredDateTime": entry.at.text(),
            "recorded": instant(entry.recorded_at),
            "activity": concept("changed" if earlier else "written", words),
            "agent": [{"type": concept("recorder", say(mark("recorder"))), "who": self.by(entry.by)}],
        }
        if entry.reason.strip():
            found["reason"] = [{"text": entry.reason}]
        if earlier:
            found["entity"] = [
                {"role": "revision", "what": {"identifier": {"system": ENTRY_IDS, "value": url(each.id)}}}
                for each in earlier
            ]
        return found

    def device(self, tube: Held) -> Iterator[Resource]:
        """The tube in place, and that it is worn."""
        details, identity = tube.entry.details, derived("device", tube.first.id)
        snomed = {"system": SNOMED, "code": TRACHEOSTOMY_TUBE[0], "display": TRACHEOSTOMY_TUBE[1]}
        device: Resource = {
            "resourceType": "Device",
            "id": identity,
            "text": narrative([TUBE_CHANGE.line(details)]),
            "status": "active",
            "type": concept("tube", say(mark("tracheostomy tube")), snomed),
            "patient": reference(self.patient),
            "property": list(_sizes(details)),
        }
        if str(details.get("lot", "")).strip():
            device["lotNumber"] = details["lot"]
        if "expiry" in details:
            device["expirationDate"] = details["expiry"]
        yield device
        yield {
            "resourceType": "DeviceUseStatement",
            "id": derived("use", tube.first.id),
            "text": narrative([say(mark("tube in place"))]),
            "status": "active",
            "subject": reference(self.patient),
            "timingDateTime": tube.entry.at.text(),
            "recordedOn": instant(tube.entry.recorded_at),
            "source": self.by(tube.first.by),
            "device": reference(identity),
        }

    def flag(self, flag: Flag) -> Resource:
        """A flag: whether it is there, since when, how serious, which entries show it."""
        period = {"start": instant(flag.raised_at)}
        if flag.cleared_at is not None:
            period["end"] = instant(flag.cleared_at)
        return {
            "resourceType": "Flag",
            "id": derived("flag", flag.rule, flag.subject or "", str(flag.raised_at)),
            "text": narrative([flag.headline, flag.reasons, flag.level.asks]),
            "status": "active" if flag.cleared_at is None else "inactive",
            "category": [concept(f"level.{flag.level.word}", flag.level.asks)],
            "code": concept(f"flag.{flag.rule}", flag.headline),
            "subject": reference(self.patient),
            "period": period,
        }


def _tag(words: str) -> Resource:
    """What marks a resource that isn't, or whose days aren't, as a nurse signed them."""
    return {"system": OWN_SYSTEM, "code": "after-signing", "display": words}


def _sizes(details: Details) -> Iterator[Resource]:
    for each in TUBE_CHANGE.fields:
        if each.name in details:
            value = details[each.name]
            code = concept(f"tube.{each.name}", say(each.asked or each.label or each.name))
            unit = getattr(each.type, "unit", "")
            if unit:
                yield {"type": code, "valueQuantity": [quantity(value, unit)]}
            else:
                yield {"type": code, "valueCode": [{"text": each.type.words(value) or str(value)}]}


def _noted(texts: list[str]) -> Resource:
    found = [{"text": text} for text in texts if text.strip()]
    return {"note": found} if found else {}


def person(patient: str, name: str, details: Details, contacts: list[Details]) -> Resource:
    """The person as a Patient, with whom to call."""
    found: Resource = {
        "resourceType": "Patient",
        "id": patient,
        "text": narrative([name, *map(CONTACT.line, contacts)]),
        "name": [{"text": name}],
    }
    if "born" in details:
        found["birthDate"] = details["born"]
    listed = [_contact(each) for each in contacts]
    return found | ({"contact": listed} if listed else {})


def _contact(details: Details) -> Resource:
    found: Resource = {"telecom": [{"system": "phone", "value": details["phone"]}]}
    if str(details["role"]).strip():
        found["relationship"] = [{"text": details["role"]}]
    if str(details.get("name", "")).strip():
        found["name"] = {"text": details["name"]}
    return found if str(details["phone"]).strip() else {k: v for k, v in found.items() if k != "telecom"}


def recorder(held: Held, patient: str) -> Resource | None:
    """Who writes, as the resource of their role; None for the person, who is the Patient."""
    details = held.entry.details
    kind = _ROLES.get(str(details.get("role", "")), "Practitioner")
    if kind == "Patient":
        return None
    name = str(details.get("name", "")).strip() or who(str(details["initials"]))
    found: Resource = {
        "resourceType": kind,
        "id": derived("recorder", held.first.id),
        "text": narrative([f"{name} ({details['initials']})"]),
        "identifier": [{"system": OWN_SYSTEM, "value": str(details["initials"])}],
        "name": [{"text": name}],
    }
    return found | ({"patient": reference(patient)} if kind == "RelatedPerson" else {})
