"""The drawing of our marks: values in, numbers for SVG attributes out. Knows neither models nor templates.

* The *split mark* shows a song's two sides: the left half fills from the bottom with the stage of the weakest holder on
  the sync side, the right half with that on the master side. ``split_halves(sync="quoted", master="licensed")``
* The *stave* shows an episode along its running time on five fine lines: source music on the upper two, themes on the
  middle one, score on the lower two. Music that overlaps gets a line of its own; where the five do not suffice it
  stands on ledger lines. ``draw_stave([Bar(…), …], running_frames=…, rate=…)``
* The *season's staves* are a stack of small ones on one scale, the *density chart* the share of music in each episode.
  ``draw_season_stave([Bar(…), …], …)``, ``draw_density([("101", 2482, {Lane.SOURCE: 188, …}), …])``
* The *territory chart* shows every country as a tile by continent, its texture telling whether a release plan is covered
  there. ``draw_territories(standing_of_countries(…))``
* The *term chart* shows the plan's windows along the years, and for each side what is granted, the gaps and the last
  days of options. ``draw_terms(proof)``; that of a song its licences by holder. ``draw_licences([…], today=…)``
* The *budget bars* show estimated, quoted, approved and licensed money against the budget. ``draw_budget(…)``
* The *fee spread* shows how much money stands at each stage, by side. ``draw_spread(spread_of(table))``
* The *forecast bars* show committed and forecast money of several rows against their budgets. ``draw_forecast(…)``

Everything along time or money is a percentage of the mark's width, so that words keep their size on any screen. Numbers
stay exact until they are written. The tags that draw them are in ``templatetags/marks.py``.
"""

from supervision.web.marks.budget import BudgetBar, BudgetBars, draw_budget
from supervision.web.marks.forecast import ForecastBar, draw_forecast
from supervision.web.marks.season import Density, SeasonStave, draw_density, draw_season_stave
from supervision.web.marks.split import NOBODY_ASKED, Half, half_of, split_halves
from supervision.web.marks.spread import SpreadRow, draw_spread
from supervision.web.marks.stave import Bar, Lane, Stave, draw_stave
from supervision.web.marks.terms import TermChart, draw_licences, draw_terms
from supervision.web.marks.territories import TerritoryChart, draw_territories

__all__ = [
    "NOBODY_ASKED",
    "Bar",
    "BudgetBar",
    "BudgetBars",
    "Density",
    "ForecastBar",
    "Half",
    "Lane",
    "SeasonStave",
    "SpreadRow",
    "Stave",
    "TermChart",
    "TerritoryChart",
    "draw_budget",
    "draw_density",
    "draw_forecast",
    "draw_licences",
    "draw_season_stave",
    "draw_spread",
    "draw_stave",
    "draw_terms",
    "draw_territories",
    "half_of",
    "split_halves",
]
