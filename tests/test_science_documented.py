"""Every public function and class of the science says what it takes, gives and refuses, where it holds, and whence."""

import ast
import importlib
import inspect
import pkgutil
import re
import textwrap

import pytest

import advisor.science

MODULES = [
    importlib.import_module(f"advisor.science.{found.name}") for found in pkgutil.iter_modules(advisor.science.__path__)
]
PUBLIC = {
    f"{module.__name__.removeprefix('advisor.science.')}.{name}": thing
    for module in MODULES
    for name, thing in vars(module).items()
    if not name.startswith("_")
    and (inspect.isfunction(thing) or inspect.isclass(thing))
    and thing.__module__ == module.__name__
}
# Sections that a module's functions need not have, and why.
EXEMPT = {
    "ice_march": (
        {"Notes", "References", "Examples"},
        "the workings of freezing.py, which says where they hold, whence they are, and shows them at work",
    ),
    "history": (
        {"Notes", "References"},
        "checks of arguments and plain sums over a record: no model that could cease to hold",
    ),
    "validity": ({"Notes", "References"}, "the warning itself"),
    "stays": ({"References"}, "reading lengths of time off straight lines; nobody is to be cited for it"),
}
# What computes nothing by a formula, and why.
NO_FORMULA = {
    "it names something": {"acid_bands.acid_band", "acid_bands.soda_band"},
    "it holds what others compute with": {
        "acid.Buffer",
        "band.Band",
        "batch.Batch",
        "conduction.ThermalBody",
        "growth.GrowthCurve",
        "holds.Hold",
        "ice.FrozenBody",
        "properties.Composition",
        "reach.Source",
        "serving.CookLossModel",
        "solids.Solid",
    },
    "it makes or checks an array, a body or a range": {
        "band.certain",
        "batch.batch_uniform",
        "conduction.checked_times",
        "conduction.uniform",
        "conduction.warn_no_ice_no_boiling",
        "mode_tables.many_modes",
        "profile.checked_place",
        "rates.within_measured",
        "solids.block",
        "solids.roll",
        "solids.uniform_solid",
    },
}
FORMULA = re.compile(r"\.\. math::|:math:|=| exp\(|[·×/−√+]| - ")
RANGE = re.compile(
    r"\d|\b(holds?|valid|exact|range|within|beyond|between|only|not for|any|never|above|below|estimate)\b",
    re.IGNORECASE,
)


def sections(thing):
    """Give the sections of a docstring by their titles, and what stands before the first as an empty title."""
    found, title = {"": []}, ""
    lines = inspect.cleandoc(thing.__doc__ or "").splitlines()
    for line, under in zip(lines, [*lines[1:], ""], strict=True):
        if re.fullmatch(r"-{3,}", under.strip()) and re.fullmatch(r"[A-Z][A-Za-z ]+", line):
            title = line
            found[title] = []
        elif not re.fullmatch(r"-{3,}", line.strip()):
            found[title].append(line)
    return {title: "\n".join(text) for title, text in found.items()}


def tree(thing):
    return ast.parse(textwrap.dedent(inspect.getsource(thing)))


def calls(thing):
    """Give the names of everything that is called in it."""
    return {
        call.func.id for call in ast.walk(tree(thing)) if isinstance(call, ast.Call) and isinstance(call.func, ast.Name)
    }


def refuses(thing):
    return any(isinstance(node, ast.Raise) for node in ast.walk(tree(thing))) or any(
        name.startswith("require_") for name in calls(thing)
    )


def takes(thing):
    """Give the names of what it takes; an enumeration takes nothing."""
    if is_record(thing):
        return list(getattr(thing, "__dataclass_fields__", getattr(thing, "_fields", ())))
    return [name for name in inspect.signature(thing).parameters if name not in {"self", "args", "kwds"}]


def is_record(thing):
    """Tell whether it only holds values that a function gave: nothing to refuse, and nothing to hold for."""
    if not inspect.isclass(thing):
        return False
    if hasattr(thing, "__members__") or hasattr(thing, "_fields"):
        return True
    return hasattr(thing, "__dataclass_fields__") and not hasattr(thing, "__post_init__")


def gives(thing):
    """Give the title under which it says what it gives, or none."""
    if inspect.isclass(thing):
        return None
    wrapped = inspect.unwrap(thing)
    if inspect.isgeneratorfunction(wrapped):
        return "Yields"
    return None if inspect.signature(wrapped).return_annotation in {None, "None"} else "Returns"


def wanted(name, thing):
    """Give the sections it must have."""
    if is_record(thing):
        return set()
    titles = {"Notes", "References", "Examples"}
    titles |= {"Parameters"} if takes(thing) else set()
    titles |= {gives(thing)} if gives(thing) else set()
    titles |= {"Raises"} if refuses(thing) else set()
    titles |= {"Warns"} if "warn_outside" in calls(thing) else set()
    return titles - EXEMPT.get(name.split(".")[0], (set(), ""))[0]


@pytest.fixture(params=PUBLIC, ids=str)
def named(request):
    return request.param, PUBLIC[request.param]


def test_there_is_something_to_check():
    assert len(MODULES) > 10
    assert len(PUBLIC) > 60
    assert set().union(*NO_FORMULA.values()) <= set(PUBLIC)
    assert set(EXEMPT) <= {name.split(".")[0] for name in PUBLIC}


def test_it_says_everything_it_owes(named):
    name, thing = named
    have = sections(thing)
    assert have[""].strip(), "says nothing"
    at_module = sections(importlib.import_module(thing.__module__))
    cited = {"References"} if "References" in at_module else set()
    missing = wanted(name, thing) - {title for title, text in have.items() if text.strip()} - cited
    assert not missing, f"{name} has no {', '.join(sorted(missing))}"


def test_it_names_everything_it_takes(named):
    name, thing = named
    have = sections(thing)
    listed = have.get("Parameters") or have.get("Attributes", "")
    if name.startswith("history.require_"):
        return  # they take any names, and say so
    said = "\n".join(line for line in listed.splitlines() if not line.startswith(" "))
    words = set(re.findall(r"\w+", said))
    silent = [parameter for parameter in takes(thing) if parameter not in words]
    assert not silent, f"{name} says nothing of {', '.join(silent)}"


def test_it_says_where_it_holds(named):
    name, thing = named
    have = sections(thing)
    if "Notes" in wanted(name, thing) and have.get("Notes"):
        assert RANGE.search(have["Notes"] + have.get("Warns", "")), f"{name} does not say where it holds"


def test_it_shows_its_formula(named):
    name, thing = named
    if "Notes" not in wanted(name, thing) or any(name in names for names in NO_FORMULA.values()):
        return
    assert FORMULA.search(sections(thing)[""]), f"{name} shows no formula"


def test_its_example_is_one_that_runs(named):
    """Collected as a doctest: every module of the package is."""
    name, thing = named
    if "Examples" in wanted(name, thing):
        assert ">>>" in sections(thing).get("Examples", ""), f"{name} shows no example"
