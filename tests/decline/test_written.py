"""The outlook file, stored fits, and digests."""

import json
from dataclasses import replace

import numpy as np
import pytest

from registry.decline.digest import digest_of
from registry.decline.faults import DeclineError
from registry.decline.options import FitOptions
from registry.decline.outlook import outlook_of
from registry.decline.portfolio import gather_portfolio, select_pavements
from registry.decline.written import (
    covariance_as_plain,
    covariance_from_plain,
    options_as_plain,
    outlooks_as_plain,
    parameters_as_plain,
    parameters_from_plain,
)
from tests.decline.portfolios import (
    AS_OF,
    Run,
    expected,
    expected_parameters,
    hand_records,
    reference_fit,
    reference_gathered,
    reference_outlooks,
    reference_records,
)


def shape(value):
    return {key: shape(v) for key, v in value.items()} if isinstance(value, dict) else None


def test_the_outlook_file_has_the_shape_of_the_reference():
    plain = outlooks_as_plain(reference_outlooks(), reference_fit())
    assert shape(json.loads(json.dumps(plain, allow_nan=False))) == shape(expected())


def test_keys_can_be_given_where_refs_collide():
    refs = reference_gathered().portfolio.ref
    keys = [f"Town/{ref}" for ref in refs]
    plain = outlooks_as_plain(reference_outlooks(), reference_fit(), keys)
    assert list(plain["pavements"]) == keys


def test_what_is_not_decided_is_null_with_its_reason():
    records = hand_records(
        {"P": "2022-06-01"}, [Run("P/T1", "2024-06-01T09:00", 900.0)], action_mm_h=np.nan
    )
    found = outlook_of(records, expected_parameters(), AS_OF)
    plain = outlooks_as_plain(found, reference_fit())["pavements"]["P"]
    assert plain["p_below"] is None
    assert plain["sweep_by"] is None
    assert plain["not_decided"] == "Not decided: the action level is not known."
    json.dumps(plain, allow_nan=False)


def test_parameters_come_back_as_they_were():
    plain = json.loads(json.dumps(parameters_as_plain(expected_parameters())))
    back = parameters_from_plain(plain)
    assert back.vector().tolist() == expected_parameters().vector().tolist()


def test_a_covariance_comes_back_as_it_was():
    plain = json.loads(json.dumps(covariance_as_plain(reference_fit().covariance)))
    assert covariance_from_plain(plain).tolist() == reference_fit().covariance.tolist()


def test_parameters_that_lack_one_are_refused():
    plain = parameters_as_plain(expected_parameters())
    del plain["sigma"]
    with pytest.raises(DeclineError, match="sigma"):
        parameters_from_plain(plain)


def test_options_can_be_stored():
    json.dumps(options_as_plain(FitOptions()), allow_nan=False)


def digest(records, options=None, as_of=AS_OF):
    return digest_of(gather_portfolio(records, as_of).portfolio, options or FitOptions())


def test_the_digest_stays_with_the_day_and_with_pavements_that_have_no_tests():
    records = reference_records()
    assert digest(records) == digest(records, as_of=AS_OF + 30)
    portfolio = reference_gathered().portfolio
    tested = select_pavements(portfolio, portfolio.tests_of_pavements() > 0)
    assert digest_of(tested, FitOptions()) == digest(records)


def test_the_digest_changes_with_a_rate_a_cleaning_a_driver_and_an_option():
    records = reference_records()
    rates = records.runs.mm_h.copy()
    rates[0] *= 1.001
    methods = records.cleanings.method.copy()
    methods[0] = (methods[0] + 1) % 4
    trees = 1 - records.pavements.heavy_trees
    found = {
        digest(records),
        digest(replace(records, runs=replace(records.runs, mm_h=rates))),
        digest(replace(records, cleanings=replace(records.cleanings, method=methods))),
        digest(replace(records, pavements=replace(records.pavements, heavy_trees=trees))),
        digest(records, FitOptions(tolerance=1e-8)),
    }
    assert len(found) == 5


def test_the_digest_does_not_change_with_where_a_fit_starts():
    options = FitOptions(start=expected_parameters())
    assert digest(reference_records(), options) == digest(reference_records())
