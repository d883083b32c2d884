"""The parameters of the model, and the unconstrained numbers that a search moves.

symbol          meaning                                                        unit
mu_a, mu_k      mean over pavements of ln I when new, and of the yearly loss    ln mm/h, 1/year
sd_a, sd_k      their standard deviations between pavements                    same
corr            their correlation c                                            1
tau_a, tau_k    standard deviations of a spot around its pavement              same
sigma           standard deviation of one test in ln I                         1
recovery        r_m for METHODS                                                1
drivers         gamma for DRIVERS: added to the yearly loss                    1/year

A vector holds, in the order of NAMES, mu as they are, ln of standard deviations, atanh of the
correlation, logit of recoveries, gamma as they are.
"""

from dataclasses import dataclass
from typing import Self

import numpy as np
from scipy.special import expit, logit

from registry.decline.faults import DeclineError
from registry.decline.records import DRIVERS, METHODS, Floats

SCALARS = ("mu_a", "mu_k", "sd_a", "sd_k", "corr", "tau_a", "tau_k", "sigma")
NAMES = (*SCALARS, *METHODS, *DRIVERS)
RECOVERY = slice(len(SCALARS), len(SCALARS) + len(METHODS))
DRIVER = slice(RECOVERY.stop, RECOVERY.stop + len(DRIVERS))
PLACE = {name: place for place, name in enumerate(NAMES)}
LOGS = ("sd_a", "sd_k", "tau_a", "tau_k", "sigma")


@dataclass(frozen=True, eq=False)
class Parameters:
    """One value for each; a standard deviation of 0 takes that effect out of the model."""

    mu_a: float
    mu_k: float
    sd_a: float
    sd_k: float
    corr: float
    tau_a: float
    tau_k: float
    sigma: float
    recovery: Floats
    drivers: Floats

    def __post_init__(self) -> None:
        if np.shape(self.recovery) != (len(METHODS),) or np.shape(self.drivers) != (len(DRIVERS),):
            raise DeclineError("Four recoveries and four drivers are needed.")
        spreads = [getattr(self, name) for name in LOGS]
        if min(spreads) < 0 or self.sigma <= 0:
            raise DeclineError("A standard deviation is below 0, or that of a test is 0.")
        if not (abs(self.corr) < 1 and np.all((self.recovery > 0) & (self.recovery < 1))):
            raise DeclineError("A correlation lies within -1 and 1, a recovery within 0 and 1.")

    def vector(self) -> Floats:
        """As unconstrained numbers, (16,); -inf for a standard deviation of 0."""
        with np.errstate(divide="ignore"):
            spreads = {name: np.log(getattr(self, name)) for name in LOGS}
        plain = {"mu_a": self.mu_a, "mu_k": self.mu_k, "corr": np.arctanh(self.corr), **spreads}
        scalars = [plain[name] for name in SCALARS]
        return np.concatenate((scalars, logit(self.recovery), self.drivers))

    @classmethod
    def from_vector(cls, vector: Floats) -> Self:
        value = dict(zip(SCALARS, vector.tolist(), strict=False))
        spreads = {name: float(np.exp(value[name])) for name in LOGS}
        return cls(
            mu_a=value["mu_a"],
            mu_k=value["mu_k"],
            corr=float(np.tanh(value["corr"])),
            recovery=expit(vector[RECOVERY]),
            drivers=np.array(vector[DRIVER]),
            **spreads,
        )

    @property
    def omega(self) -> tuple[float, float, float]:
        """Variance of a, covariance, variance of k between pavements."""
        return self.sd_a**2, self.corr * self.sd_a * self.sd_k, self.sd_k**2


@dataclass(frozen=True, eq=False)
class Slopes:
    """The slope of a log likelihood in each unconstrained number."""

    mu_a: float
    mu_k: float
    sd_a: float
    sd_k: float
    corr: float
    tau_a: float
    tau_k: float
    sigma: float
    recovery: Floats
    drivers: Floats

    def vector(self) -> Floats:
        scalars = [getattr(self, name) for name in SCALARS]
        return np.concatenate((scalars, self.recovery, self.drivers))
