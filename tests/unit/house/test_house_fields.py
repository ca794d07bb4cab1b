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
