"""The same model as a linear mixed model of statsmodels: ages held fixed, no bounds."""

from typing import Any

import numpy as np
import pandas as pd
from statsmodels.regression.mixed_linear_model import MixedLM, MixedLMParams

from registry.decline.blocks import block_of, no_sites
from registry.decline.likelihood import integrate
from registry.decline.parameters import Parameters
from registry.decline.portfolio import Portfolio
from registry.decline.records import DRIVERS


def table_of(portfolio: Portfolio, parameters: Parameters) -> pd.DataFrame:
    """One row an observation; no bounds."""
    block = block_of(portfolio)
    age = integrate(block, parameters, no_sites(0)).sums.age
    driver = portfolio.spot_driver[portfolio.spot]
    columns = {name: -age * driver[:, place] for place, name in enumerate(DRIVERS)}
    return pd.DataFrame(
        {
            "y": portfolio.ln_rate,
            "slope": -age,
            "pavement": portfolio.observed_pavement,
            "spot": portfolio.spot,
            **columns,
        }
    )


def mixed_model(table: pd.DataFrame) -> Any:
    model = MixedLM.from_formula(
        "y ~ slope + " + " + ".join(DRIVERS),
        table,
        groups="pavement",
        re_formula="slope",
        vc_formula={"alpha": "0 + C(spot)", "kappa": "0 + C(spot):slope"},
    )
    # Set by its `fit`, which is not called where only a value is wanted.
    model.reml, model.cov_pen, model.fe_pen = False, None, None
    return model


def profiled(model: Any, parameters: Parameters) -> tuple[Parameters, float]:
    """MixedLM takes sigma where it is likeliest, spreads in proportion: those, and its value."""
    ratio = parameters.sigma**-2
    o_aa, o_ak, o_kk = parameters.omega
    cov = np.array([[o_aa, o_ak], [o_ak, o_kk]]) * ratio
    fixed = np.concatenate(([parameters.mu_a, parameters.mu_k], parameters.drivers))
    vcomp = np.array([parameters.tau_a**2, parameters.tau_k**2]) * ratio
    packed = MixedLMParams.from_components(fe_params=fixed, cov_re=cov, vcomp=vcomp)
    scale = model.get_scale(fixed, cov, vcomp)
    factor = np.sqrt(scale) / parameters.sigma
    spreads = {n: getattr(parameters, n) * factor for n in ("sd_a", "sd_k", "tau_a", "tau_k")}
    at_scale = {**vars(parameters), **spreads, "sigma": float(np.sqrt(scale))}
    return Parameters(**at_scale), float(model.loglike(packed, profile_fe=False))
