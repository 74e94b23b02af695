"""Sentences of the household's plan."""

from __future__ import annotations

from typing import Final

from tenhour.words.text import Sentence

EARLIER: Final = Sentence("Next year sow {weeks:weeks} earlier than today.")
OTHER_CROPS: Final = Sentence("Eat other crops too: all that serve the same meals.")
MORE_BED: Final = Sentence("A quarter more bed of the same light.")

WHOLE: Final = Sentence("{people}, {first:day} to {last:day}: {wishes} a week.")
PROVEN: Final = Sentence(
    "At least {least} weighted portions must be missing whatever is sown (proven); this plan leaves {left} missing."
)
NOTHING_MISSING: Final = Sentence("Every wish is met in a season that is no better than planned for.")
EFFORT: Final = Sentence("{sowings}, {kinds}, {work:hours} of work a week{money}.")
SHOP: Final = Sentence("In the shop its greens would cost about {money}.")
GAP: Final = Sentence("No plan is more than {gap:share} cheaper in money, work and kinds (proven in {seconds} s).")
SERVED: Final = Sentence("{wish} {served:share}")
WORST: Final = Sentence(", worst in the week of {week:day}, short in {share:share} of seasons")
SHELF: Final = Sentence(
    "{count} {trays} of {name} on {bed} from {first:day} to {last:day}, at most {most} there at once."
)
SHORT: Final = Sentence("{wish}: {missing} of {wanted} portions missing in the week of {week:day}")
SOW_NOW: Final = Sentence("Sow {name} on {bed}: {area:area}, {plants} plants, to eat from {first:day}.")
RAISE_NOW: Final = Sentence("Sow {name} in the nursery, {plants} plants, to set out on {bed} on {out:day}.")
SET_OUT_NOW: Final = Sentence("Set out {name} on {bed}: {area:area}, {plants} plants.")
CLEAR_NOW: Final = Sentence("Clear {name} from {bed}: {area:area}.")
EAT: Final = Sentence("{name} from {bed}, {grams:fresh}")
CLOSES: Final = Sentence("{text} Then {left} would be missing at least.")
MOULD: Final = Sentence(
    "Trays for animals are greens beside their feed, never a ration: eggs fell where hens ate much sprouted barley; "
    "throw away any tray that smells or moulds. Ask a vet about rabbits."
)
