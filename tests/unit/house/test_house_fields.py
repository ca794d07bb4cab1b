from typing import Annotated

import pytest
from pydantic import BaseModel, Field, ValidationError

from hearthtide.house import fields


class Sample(BaseModel):
    length: Annotated[fields.LengthM, Field(ge=0.1, le=1.0)] = 0.5
    core: fields.TemperatureC | None = None
    share: Annotated[fields.FractionText, Field(ge=0, le=1)] = 0.0
    at: fields.ClockS = 0.0


def test_text_with_a_unit_becomes_si():
    sample = Sample.model_validate({"length": "13 in", "core": "165 F", "share": "20 %", "at": "19:22"})
    assert sample.length == pytest.approx(0.3302)
    assert sample.core == pytest.approx(73.889, abs=1e-3)
    assert (sample.share, sample.at) == (0.2, 69_720)


@pytest.mark.parametrize("bare", ["13", 13, 13.0, True, None, ["13 in"]])
def test_a_length_without_a_unit_is_refused_with_an_example(bare):
    with pytest.raises(ValidationError, match="expected a length such as `13 in`"):
        Sample.model_validate({"length": bare})


def test_a_share_may_be_a_plain_number():
    assert Sample.model_validate({"share": 0.25}).share == 0.25
    assert Sample.model_validate({"share": "0.25"}).share == 0.25
    with pytest.raises(ValidationError, match="expected a share"):
        Sample.model_validate({"share": True})


@pytest.mark.parametrize("outside", ["9 cm", "40 in"])
def test_bounds_act_on_metres_whatever_the_unit(outside):
    with pytest.raises(ValidationError) as raised:
        Sample.model_validate({"length": outside})
    assert raised.value.errors()[0]["type"] in ("greater_than_equal", "less_than_equal")


def test_the_schema_shows_text_with_a_pattern_and_an_example():
    shown = Sample.model_json_schema()["properties"]["length"]
    assert shown["type"] == "string"
    assert "13 in" in shown["examples"]


class Fed(BaseModel):
    wood: fields.WoodKgH = 1.0
    gas: fields.GasM3 = 1.0


def test_wood_by_the_hour_and_gas_off_a_meter():
    # Exact: NIST SP 811 (2008), B.8: 1 lb = 0.45359237 kg, 1 ft3 = 0.028316846592 m3.
    assert Fed.model_validate({"wood": "3 kg/h"}).wood == 3.0
    assert Fed.model_validate({"wood": "10 lb/h"}).wood == pytest.approx(4.5359237, rel=1e-12)
    assert Fed.model_validate({"gas": "0.45 m3"}).gas == 0.45
    assert Fed.model_validate({"gas": "450 l"}).gas == pytest.approx(0.45, rel=1e-12)
    assert Fed.model_validate({"gas": "10 ft3"}).gas == pytest.approx(0.28316846592, rel=1e-12)


@pytest.mark.parametrize("wrong", ["3", "3 kg", "kg/h", 3, None, "3 kg/h of oak", "3e1 kg/h"])
def test_wood_without_its_unit_is_refused_with_an_example(wrong):
    with pytest.raises(ValidationError, match="expected wood fed such as `3 kg/h`"):
        Fed.model_validate({"wood": wrong})


@pytest.mark.parametrize("outside", ["0 kg/h", "-3 kg/h", "31 kg/h", "67 lb/h"])
def test_too_little_or_too_much_wood_is_refused(outside):
    with pytest.raises(ValidationError, match=r"expected 0\.1 to 30 kg/h"):
        Fed.model_validate({"wood": outside})
