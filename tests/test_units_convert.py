"""The registry is built once, late, and without fail; the conversions are the exact ones."""

import pickle
import subprocess
import sys
from pathlib import Path

import pytest

from advisor.units import convert as module
from advisor.units.convert import cache_folder, convert, registry

# Exact by definition, NIST SP 811 (2008), appendix B.8 (from memory): inch 25.4 mm, pound 453.592 37 g, US
# gallon 231 cubic inches = 3785.411 784 ml, of which a cup is 1/16, a fluid ounce 1/128, a teaspoon 1/768.
EXACT = [
    (1.0, "inch", "millimeter", 25.4),
    (1.0, "foot", "millimeter", 304.8),
    (1.0, "pound", "gram", 453.59237),
    (16.0, "ounce", "gram", 453.59237),
    (1.0, "gallon", "milliliter", 3785.411784),
    (4.0, "quart", "milliliter", 3785.411784),
    (8.0, "pint", "milliliter", 3785.411784),
    (16.0, "cup", "milliliter", 3785.411784),
    (128.0, "fluid_ounce", "milliliter", 3785.411784),
    (256.0, "tablespoon", "milliliter", 3785.411784),
    (768.0, "teaspoon", "milliliter", 3785.411784),
    (135.0, "degF", "degC", 515.0 / 9.0),
    (-40.0, "degF", "degC", -40.0),
    (273.15, "kelvin", "degC", 0.0),
    (9.0, "delta_degF", "delta_degC", 5.0),
    (5.0, "kelvin", "delta_degC", 5.0),
    (1.0, "week", "minute", 10080.0),
    (15.0, "gram/kilogram", "percent", 1.5),
    (150.0, "ppm", "percent", 0.015),
]


@pytest.mark.parametrize(("value", "source", "target", "expected"), EXACT)
def test_conversions_are_exact(value, source, target, expected):
    assert convert(value, source, target) == pytest.approx(expected, rel=1e-12, abs=1e-12)


def test_one_registry_for_the_process():
    assert registry() is registry()


def test_adding_two_temperatures_stays_an_error():
    from pint.errors import OffsetUnitCalculusError

    quantity = registry().Quantity
    with pytest.raises(OffsetUnitCalculusError):
        quantity(20.0, "degC") + quantity(20.0, "degC")


def test_importing_units_loads_neither_pint_nor_numpy():
    code = (
        "import sys, advisor.units as u; heavy = {'pint', 'numpy', 'platformdirs'} & set(sys.modules);"
        "assert not heavy, heavy;"
        "assert u.read_quantity('1 in', 'length').value == 25.4; assert 'pint' in sys.modules"
    )
    root = Path(__file__).parents[1]
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=root, capture_output=True, text=True, check=False, timeout=120
    )
    assert done.returncode == 0, done.stderr


def test_cache_folder_lies_below_the_users_cache(monkeypatch, tmp_path):
    monkeypatch.setattr("platformdirs.user_cache_path", lambda name: tmp_path / name)
    assert cache_folder() == tmp_path / "prep-advisor" / "units"
    assert (tmp_path / "prep-advisor" / "units").is_dir()


def test_no_cache_folder_where_a_file_stands_in_the_way(monkeypatch, tmp_path):
    blocker = tmp_path / "file"
    blocker.write_text("")
    monkeypatch.setattr("platformdirs.user_cache_path", lambda name: blocker / name)
    assert cache_folder() is None


def test_no_cache_folder_when_it_may_not_be_written(monkeypatch, tmp_path):
    monkeypatch.setattr("platformdirs.user_cache_path", lambda name: tmp_path / name)
    monkeypatch.setattr("os.access", lambda *_: False)
    assert cache_folder() is None


@pytest.mark.parametrize("fault", [OSError, EOFError, pickle.UnpicklingError, ValueError, ImportError])
def test_a_broken_cache_is_passed_over(monkeypatch, tmp_path, fault):
    import pint

    real = pint.UnitRegistry

    def breaks_with_cache(**options):
        if "cache_folder" in options:
            raise fault
        return real(**options)

    monkeypatch.setattr(pint, "UnitRegistry", breaks_with_cache)
    monkeypatch.setattr(module, "cache_folder", lambda: tmp_path)
    assert registry.__wrapped__().Quantity(1.0, "inch").to("millimeter").magnitude == pytest.approx(25.4)


def test_no_cache_at_all_works(monkeypatch):
    monkeypatch.setattr(module, "cache_folder", lambda: None)
    assert registry.__wrapped__().Quantity(1.0, "pound").to("gram").magnitude == pytest.approx(453.59237)


def test_a_cache_full_of_rubbish_is_passed_over(monkeypatch, tmp_path):
    monkeypatch.setattr(module, "cache_folder", lambda: tmp_path)
    registry.__wrapped__()
    written = [path for path in tmp_path.rglob("*") if path.is_file()]
    assert written
    for path in written:
        path.write_bytes(b"rubbish")
    assert registry.__wrapped__().Quantity(1.0, "inch").to("millimeter").magnitude == pytest.approx(25.4)
