"""The capacity a standby battery needs, by the forms in use, and what the one that is in it holds."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache

from asfitted.reckon.power import charge_drawn, charging_loss, figures, recharge_hours
from asfitted.reckon.working import Input, Step, Working, number


@dataclass(frozen=True, slots=True)
class Form:
    """One form of the formula ``C = k (I T + D Ia ta)``.

    Attributes:
        called: whose form it is.
        k: what is added for ageing.
        minutes: of alarm.
        derating: D: how much more a battery must hold for what is drawn from it fast.
        inside: whether the alarm falls within the standby time rather than after it.
        source: with its status.
    """

    called: str
    k: float
    minutes: float
    derating: float
    inside: bool
    source: str

    def needed(self, current: float, alarm_current: float, hours: float) -> float:
        """Give the ampere-hours that are needed, from amperes at rest, amperes in alarm, hours of standby."""
        alarm_hours = self.minutes / 60
        if self.inside:
            return self.k * charge_drawn(current, self.derating * alarm_current, hours, alarm_hours)
        return self.k * charge_drawn(current, self.derating * alarm_current, hours + alarm_hours, alarm_hours)

    def inputs(self) -> dict[str, Input]:
        """Give its own figures as inputs."""
        rows = (
            ("ta", "of it sounding" if self.inside else "sounding, after it", self.minutes / 60, "h"),
            ("k", "allowance for ageing", self.k, ""),
            ("D", "allowance for fast discharge", self.derating, ""),
        )
        return {symbol: Input(symbol, what, value, unit, "standard", self.source) for symbol, what, value, unit in rows}


@cache
def forms() -> Mapping[str, Form]:
    """Give every form by its name; the first is that of common practice."""
    return {
        name: Form(name, row["k"], row["minutes"], row["derating"], row["inside"], f"{row['source']} ({row['status']})")
        for name, row in figures()["form"].items()
    }


def capacity(inputs: Mapping[str, Input], form: Form, title: str) -> Working:
    """Work out the capacity that is needed; where the battery's own is known, the result is what is left over, in Ah.

    Args:
        inputs: by symbol: ``I`` A at rest, ``Ia`` A in alarm, ``T`` h, ``ta`` h, ``k``, ``D``, and ``C`` Ah if known.
        form: which formula.
        title: of the sheet.
    """
    i, ia, t, ta, k, d = (inputs[symbol].value for symbol in ("I", "Ia", "T", "ta", "k", "D"))
    tried, n = replace(form, k=k, minutes=ta * 60, derating=d), number
    needed = tried.needed(i, ia, t)
    at_rest, rest_figures = ("(T − ta)", f"({n(t, 2)} − {n(ta, 4)})") if form.inside else ("T", n(t, 2))
    alarm_figures = f"{n(d, 2)} · {n(ia)} · {n(ta, 4)}"
    steps = [
        Step(
            "N",
            "capacity that is needed",
            f"k (I {at_rest} + D Ia ta)",
            f"{n(k, 2)} ({n(i)} · {rest_figures} + {alarm_figures})",
            needed,
            "Ah",
            form.source,
        )
    ]
    if "C" in inputs:
        c = inputs["C"].value
        if i > 0:
            rest = (c / k - d * ia * ta) / i + (ta if form.inside else 0.0)
            formula = "(C/k − D Ia ta) / I" + (" + ta" if form.inside else "")
            figures = f"({n(c, 2)}/{n(k, 2)} − {alarm_figures}) / {n(i)}" + (f" + {n(ta, 4)}" if form.inside else "")
            steps.append(Step("H", "hours it holds", formula, figures, max(rest, 0.0), "h", form.source))
        steps.append(Step("m", "capacity left over", "C − N", f"{n(c, 2)} − {n(needed)}", c - needed, "Ah"))
    return Working(title, tuple(inputs.values()), tuple(steps))


def recharge(inputs: Mapping[str, Input], title: str) -> Working:
    """Work out how long an empty battery charges; the result is in hours.

    Args:
        inputs: by symbol: ``C`` Ah, ``Ic`` A of charging, ``q`` the share that is wanted.
        title: of the sheet.
    """
    c, current, share = (inputs[symbol].value for symbol in ("C", "Ic", "q"))
    hours = recharge_hours(c, current, share)
    figures = f"{number(share, 2)} · {number(c, 2)} · {number(charging_loss(), 2)} / {number(current)}"
    formula = f"q C · {number(charging_loss(), 2)} / Ic"
    step = Step("t", "time to charge", formula, figures, hours, "h", "common practice, no source")
    return Working(title, tuple(inputs.values()), (step,))


def peukert(rated: float, over: float, current: float, exponent: float = 1.2) -> float:
    """Give the hours a lead battery lasts at a current, ``H (C / (I H))^k`` (Peukert).

    Args:
        rated: ampere-hours printed on it.
        over: hours of discharge for which they are given, usually 20.
        current: amperes drawn.
        exponent: 1.1 to 1.3 for sealed lead.
    """
    return float(over * (rated / (current * over)) ** exponent)
