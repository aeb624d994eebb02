"""``records.json`` is put together record by record, and is the JSON of them all."""

import json

from pipeline.records import Records
from pipeline.writing.records_file import records_json
from tests.writing.a_weekend import records


def _whole(held: Records) -> bytes:
    plain = held.model_dump(mode="json", by_alias=True, exclude_none=True)
    return (json.dumps(plain, indent=1, sort_keys=True, ensure_ascii=False) + "\n").encode()


def test_records_are_the_json_of_all_of_them_with_sorted_keys():
    assert records_json(records()) == _whole(records())


def test_records_of_a_book_that_holds_nothing_are_empty_lists():
    empty = Records(book=records().book)
    assert records_json(empty) == _whole(empty)
    assert b'"media": [],' in records_json(empty)
