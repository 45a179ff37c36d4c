"""The current tables of the state: what the user entered, as it stands now.

Each is a projection of the events: row `key` holds, column by column, the value last recorded.
The first column is the key. A column may be added at any time (older stores gain it when they
are next written); taking one away or changing its type needs a new store format.

Types: BIGINT, INTEGER, DOUBLE, BOOLEAN, VARCHAR, DATE, TIMESTAMP (UTC), MONEY, JSON (any list or
dict; it comes back as one). Rows are never deleted: a record that ends gets a state that says so.
"""

from __future__ import annotations

MONEY = "DECIMAL(18,4)"

TABLES: dict[str, dict[str, str]] = {
    # A list is one table of one supplier (or, without a supplier, of one name); its editions
    # follow one another.
    "editions": {
        "edition": "BIGINT",
        "list": "BIGINT",
        "number_in_list": "BIGINT",
        "table_name": "VARCHAR",
        "name": "VARCHAR",
        "supplier": "VARCHAR",
        "currency": "VARCHAR",
        "unit": "VARCHAR",
        "file": "VARCHAR",
        "digest": "VARCHAR",
        "as_of": "DATE",
        "loaded_at": "TIMESTAMP",
        "decisions": "JSON",
        "folder": "VARCHAR",
        "meta_digest": "VARCHAR",
        "items": "BIGINT",
        "keys": "BIGINT",
        "kinds": "JSON",
        "item_columns": "JSON",
        "key_columns": "JSON",
        "withdrawn": "BOOLEAN",
    },
    # How a supplier's tables are read: the answers given once, remembered.
    "profiles": {
        "profile": "VARCHAR",
        "supplier": "VARCHAR",
        "table_name": "VARCHAR",
        "answers": "JSON",
    },
    # Sourcing. A supplier's key is its name folded (case and spacing); dates are whole days, a
    # closing month is kept as written beside its first day. Contact details stand outside.
    "suppliers": {
        "supplier": "VARCHAR",
        "name": "VARCHAR",
        "sort": "VARCHAR",  # supplier, owner, parts machine
        "currency": "VARCHAR",
        "tax_basis": "VARCHAR",
        "postage": MONEY,
        "reply_days": "INTEGER",
        "postage_days": "INTEGER",
        "last_order": "DATE",
        "closes": "DATE",
        "closes_as_written": "VARCHAR",
        "carries": "JSON",  # kinds
        "remark": "VARCHAR",
    },
    "wants": {
        "want": "BIGINT",
        "number": "VARCHAR",
        "number_key": "VARCHAR",
        "kind": "VARCHAR",
        "description": "VARCHAR",
        "part": "JSON",  # {dimension: {"low", "high", "text"}} [mm], as the user gave them
        "quantity": "BIGINT",
        "priority": "INTEGER",
        "needed_by": "DATE",
        "variants": "JSON",  # variants and substitutes accepted, as written
        "place": "VARCHAR",
        "place_id": "BIGINT",
        "noted_on": "DATE",
        "closed_as": "VARCHAR",  # made, modified, reused, dropped
        "closed_on": "DATE",
        "reason": "VARCHAR",
        "remark": "VARCHAR",
    },
    "enquiries": {
        "enquiry": "BIGINT",
        "supplier": "VARCHAR",
        "written_on": "DATE",
        "sent_on": "DATE",
        "letter": "VARCHAR",
    },
    "enquiry_lines": {
        "line": "VARCHAR",  # enquiry-want
        "enquiry": "BIGINT",
        "want": "BIGINT",
        "quantity": "BIGINT",
        "answer": "VARCHAR",  # yes, no, looking
        "answered_on": "DATE",
        "offer": "BIGINT",
    },
    "offers": {
        "offer": "BIGINT",
        "supplier": "VARCHAR",
        "want": "BIGINT",
        "enquiry": "BIGINT",
        "number": "VARCHAR",
        "maker": "VARCHAR",
        "price": MONEY,
        "currency": "VARCHAR",
        "tax_basis": "VARCHAR",
        "quantity": "BIGINT",
        "condition": "VARCHAR",
        "until": "DATE",
        "noted_on": "DATE",
        "work_hours": "DECIMAL(9,2)",
        "remark": "VARCHAR",
        "withdrawn_on": "DATE",
        "reason": "VARCHAR",
    },
    "orders": {
        "order_id": "BIGINT",
        "offer": "BIGINT",
        "supplier": "VARCHAR",
        "want": "BIGINT",
        "quantity": "BIGINT",
        "price": MONEY,
        "currency": "VARCHAR",
        "ordered_on": "DATE",
        "cancelled_on": "DATE",
        "reason": "VARCHAR",
    },
    # Goods in: the measured part, what the engine said, what was decided.
    "receipts": {
        "receipt": "BIGINT",
        "order_id": "BIGINT",
        "want": "BIGINT",
        "quantity": "BIGINT",
        "received_on": "DATE",
        "decision": "VARCHAR",  # accept, rework, return
        "decided_by": "VARCHAR",  # judged, user
        "part": "JSON",
        "place": "JSON",
        "checks": "JSON",
        "verdict": "VARCHAR",
        "condition": "VARCHAR",
        "repairs": "JSON",
        "remark": "VARCHAR",
    },
    "part_tests": {
        "part_test": "BIGINT",
        "receipt": "BIGINT",
        "want": "BIGINT",
        "name": "VARCHAR",
        "done_on": "DATE",
        "result": "VARCHAR",  # passed, failed
        "remark": "VARCHAR",
    },
    # What proved right on the machine: `number` is the original, `by_number` what replaced it.
    "proofs": {
        "proof": "BIGINT",
        "want": "BIGINT",
        "receipt": "BIGINT",
        "kind": "VARCHAR",
        "number": "VARCHAR",
        "number_key": "VARCHAR",
        "by_maker": "VARCHAR",
        "by_number": "VARCHAR",
        "by_number_key": "VARCHAR",
        "proved_on": "DATE",
        "hours": "DOUBLE",
        "machine": "VARCHAR",
        "place": "VARCHAR",
        "remark": "VARCHAR",
    },
    # What was tried on the machine and did not fit. `proofs_before` counts the proofs there were
    # then: of one original and one part the word that came last holds.
    "misfits": {
        "misfit": "BIGINT",
        "want": "BIGINT",
        "receipt": "BIGINT",
        "kind": "VARCHAR",
        "number": "VARCHAR",
        "number_key": "VARCHAR",
        "by_maker": "VARCHAR",
        "by_number": "VARCHAR",
        "by_number_key": "VARCHAR",
        "tried_on": "DATE",
        "machine": "VARCHAR",
        "place": "VARCHAR",
        "reason": "VARCHAR",
        "remark": "VARCHAR",
        "proofs_before": "BIGINT",
    },
    # What the machine itself shows, whatever the book says: `number` is the book's, `bears` the
    # number on the part found there, `form` the variant it is, `sizes` what it measures.
    "evidence": {
        "evidence": "BIGINT",
        "number": "VARCHAR",
        "number_key": "VARCHAR",
        "machine": "VARCHAR",
        "serial": "VARCHAR",
        "place": "VARCHAR",
        "kind": "VARCHAR",
        "bears": "VARCHAR",
        "bears_key": "VARCHAR",
        "bears_maker": "VARCHAR",
        "form": "VARCHAR",
        "sizes": "JSON",  # {dimension: {"low", "high", "nominal", "text", "unit"}} [mm]
        "remark": "VARCHAR",
        "found_on": "DATE",
        "withdrawn_on": "DATE",
        "reason": "VARCHAR",
    },
    # Teardown: machines, the assemblies taken from the parts books, the places in them and
    # what was measured there.
    "machines": {"machine": "VARCHAR", "name": "VARCHAR", "remark": "VARCHAR"},
    "assemblies": {
        "assembly": "BIGINT",
        "machine": "VARCHAR",
        "number": "VARCHAR",
        "count": "BIGINT",
        "source": "VARCHAR",
    },
    "places": {
        "place": "BIGINT",
        "machine": "VARCHAR",
        "assembly": "BIGINT",
        "name": "VARCHAR",
        "kind": "VARCHAR",
        "number": "VARCHAR",
        "quantity": "BIGINT",
        "score": "VARCHAR",
        "note": "VARCHAR",
        "photograph": "VARCHAR",
        "instructions": "JSON",  # what the manual says: lip direction, torque and end, page …
        "decision": "VARCHAR",  # reuse, repair, make, replace
        "reason": "VARCHAR",
        "want": "BIGINT",
    },
    "readings": {
        "reading": "BIGINT",
        "place": "BIGINT",
        "dimension": "VARCHAR",  # shaft, housing, depth …: the kind's places
        "plane": "VARCHAR",
        "direction": "VARCHAR",
        "value_mm": "DOUBLE",
        "text": "VARCHAR",
        "uncertainty_mm": "DOUBLE",
        "instrument": "VARCHAR",
        "read_on": "DATE",
    },
}
