"""Each sentence that a paper can print: the record that makes it, and one that must not.

`CASES` pairs both. The last test reads the words in the modules that write the owner's papers: a
wording that no case makes fails it, so a new sentence comes with its case and its counter-case.
"""

from dataclasses import replace

import pytest
from pseudo_language import escaped, speaking_with_accents

from sideshake.core.quantities import Measured
from sideshake.documents.acceptance import HeardFigures, MeasuredChange, PositionRow, SizeAfter
from sideshake.documents.acceptance import TestRow as ReportedTest
from sideshake.documents.answer import Cause
from sideshake.documents.blocks import Caution, Letterhead, Picture
from sideshake.documents.care_card import UNMENDED, advice, radium_words
from sideshake.documents.einvoice import BillKind
from sideshake.documents.proposal import OfferedChoice
from sideshake.documents.report import Done, PartFitted, ReportFinding
from sideshake.documents.result import WorkStage
from sideshake.documents.withdrawal import Withdrawal
from sideshake.workshop_rules.owner_cautions import radium_possible, radium_seen, radium_unknown
from tests.documents.owner_papers import (
    billed,
    carded,
    cautioned,
    offered,
    one_of_them,
    option,
    proved,
    reported,
    result_of,
    summed,
)
from tests.documents.sentences import SOURCE, by, without_case, wordings

SVG = b'<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm"/>'
HEARD = HeardFigures(rate_s_per_day=Measured(4, 0.5))


OLD, NEW = {"year_from": 1941, "year_to": 1945}, {"year_from": 1990, "year_to": 1995}
DRAWING = Picture(name="section.svg", data=SVG, alt="leaning")
FOUND, WORN = ReportFinding(title="Oil dried"), ReportFinding(title="Pivot worn", detail="0.02 mm")
PART = PartFitted(what="Jewel", origin="made for it", old_part="comes back to you")
TEST = ReportedTest(title="Beat", value="0.3 ms", limit="", says="good")
BEFORE = (PositionRow(words="CH", before=HEARD),)
AFTER = (PositionRow(words="CH", after=HEARD),)
NEW_HOLE, REMADE = SizeAfter(name="Hole", after="1"), SizeAfter(name="Hole", after="1", before="2")
CAUSED = (Cause(found="Mainspring set"),)
WORKED = Cause(found="Mainspring set", done="New mainspring. Power reserve: 46 h.")
REPORT = by(
    reported,
    ("Your watch has arrived: W", {"stage": WorkStage.ARRIVED}, {"stage": WorkStage.FINDINGS}),
    ("Report of findings: W", {"stage": WorkStage.FINDINGS}, {"stage": WorkStage.ARRIVED}),
    ("Report so far: W", {"stage": WorkStage.SO_FAR}, {"stage": WorkStage.DONE}),
    ("Your watch: W", {"stage": WorkStage.DONE}, {"stage": WorkStage.SO_FAR}),
    ("This report describes what came to us; it is no valuation and no certificate.",
     {"stage": WorkStage.ARRIVED}, {"stage": WorkStage.FINDINGS}),
    ("This report describes what was found; it is", {"stage": WorkStage.FINDINGS}, {}),
    ("This report describes the work; it is", {}, {"stage": WorkStage.FINDINGS}),
    ("Agreed on 3 May 2026 by email", {"agreed": "3 May 2026 by email"}, {}),
    ("What we found", {"findings": (FOUND,)}, {}),
    ("Found as well", {"findings": (WORN, *(FOUND,) * 5)}, {"findings": (WORN, *(FOUND,) * 4)}),
    ("The barrel, drawn from its sizes", {"findings": (FOUND,), "drawings": (DRAWING,)},
     {"findings": (FOUND,)}),
    ("You told us It stops.", {"told_us": "It stops."}, {"told_us": "It stops.", "causes": CAUSED}),
    ("You told us: “It stops.” The cause we found: Mainspring set.",
     {"told_us": "It\nstops.", "causes": CAUSED}, {"told_us": "It stops."}),
    ("The cause we found", {"told_us": "It stops.", "causes": CAUSED}, {"causes": CAUSED}),
    ("You told us: “It stops.” The causes we found: Mainspring set. Oil dried.",
     {"told_us": "It stops.", "causes": (*CAUSED, Cause(found="Oil dried"))},
     {"told_us": "It stops.", "causes": CAUSED}),
    ("Mainspring set. It is put right.",
     {"told_us": "So.", "causes": (Cause(found="Mainspring set", put_right=True),)},
     {"told_us": "So.", "causes": CAUSED}),
    ("Mainspring set. Put right: New mainspring. Power reserve: 46 h.",
     {"told_us": "So.", "causes": (replace(WORKED, put_right=True),)},
     {"told_us": "So.", "causes": (WORKED,)}),
    ("Mainspring set. Done about it: New mainspring. Power reserve: 46 h.",
     {"told_us": "So.", "causes": (WORKED,)},
     {"told_us": "So.", "causes": (replace(WORKED, put_right=True),)}),
    ("What we did", {"done": (Done(what="Cleaned"),)}, {"findings": (FOUND,)}),
    ("Where it is from", {"parts": (PART,)}, {}),
    ("The old part", {"parts": (PART,)}, {}),
    ("No longer original", {"not_original": ("Jewel",)}, {"parts": (PART,)}),
    ("From now on", {"look_after": ("Wind it.",)}, {}),
    ("Magnets: Keep it away.", {"cautions": (Caution(title="Magnets", words="Keep it away."),)},
     {}),
    *(
        (f"{title}: So.",
         {"look_after": (other,), "cautions": (Caution(title=title, words="So."),)},
         {"look_after": (own,), "cautions": (Caution(title=title, words="So."),)})
        for title, own, other in (
            ("Water", "keep it dry: it has no seals.", "Keep it away from magnets."),
            ("Water", "Keep dry.", "Water stood in it once."),
            ("Magnets", "Keep it away from magnets.", "Keep it dry."),
            ("Magnets", "Keep away from magnets.", "Magnets did it."),
        )
    ),
    ("Next service May 2030", {"next_service": "May 2030"}, {"warranty": "until May"}),
    ("Warranty until May", {"warranty": "until May"}, {"next_service": "May 2030"}),
)  # fmt: skip
PROOF = by(
    proved,
    ("What the work changed, measured", {"positions": (*BEFORE, *AFTER)}, {"positions": BEFORE}),
    ("What the work changed, measured", {"sizes": (REMADE,)}, {"sizes": (NEW_HOLE,)}),
    ("How it runs now, measured", {"positions": AFTER, "sizes": (REMADE,)},
     {"positions": (*BEFORE, *AFTER), "sizes": (REMADE,)}),
    ("What was measured", {"sizes": (NEW_HOLE,)}, {"sizes": (REMADE,)}),
    ("What was measured", {"water": "tight at 3 bar", "water_day": "today"}, {"tests": (TEST,)}),
    ("What was measured", {"positions": BEFORE, "tests": (TEST,)},
     {"positions": AFTER, "tests": (TEST,)}),
    ("What was measured", {"positions": BEFORE, "running_time": "46 h"},
     {"positions": (*BEFORE, *AFTER), "running_time": "46 h"}),
    ("How it runs now, measured", {"positions": AFTER}, {"positions": (*BEFORE, *AFTER)}),
    ("How it ran when it came, measured", {"positions": BEFORE}, {"positions": AFTER}),
    ("Rate: seconds gained (+) or lost (−) in a day. Amplitude: how far the balance swings. Beat "
     "error: half the difference between tick and tock. ± is the 95 % interval of each figure.",
     {"positions": AFTER}, {"tests": (TEST,)}),
    ("Rate, s a day Amplitude, ° Beat error, ms", {"positions": AFTER}, {"tests": (TEST,)}),
    ("Open circle: before. Full diamond: after. Bars: 95 % interval. An error that both have in "
     "common, such as that of one clock, is in the bars and not in the change.",
     {"changes": (MeasuredChange(sentences=("It swings less.",), picture=DRAWING),)},
     {"changes": (MeasuredChange(sentences=("It swings less.",)),)}),
    ("Measured again Before After", {"sizes": (SizeAfter(name="hole", after="1"),)}, {}),
    ("CH before +4.0 ± 1.0", {"positions": BEFORE, "tests": (TEST,)}, {"positions": BEFORE}),
    ("Tested before it goes home Value Limit Result", {"tests": (TEST,)}, {"positions": AFTER}),
    ("Running time 46 h", {"running_time": "46 h"}, {"running_time": "46 h", "tests": (TEST,)}),
    ("Water test tight at 3 bar (today). Valid for the day of the test only: gaskets age. It is no "
     "promise, and an old watch is better kept dry.",
     {"water": "tight at 3 bar", "water_day": "today"}, {"tests": (TEST,)}),
)  # fmt: skip
SIX, RIGHT, LOSES = ((4, 0.5),) * 6, ((4, 0.5),), ((-52, 0.5),)
RESULT = by(
    summed,
    ("It is here and has not been looked over yet.", {"stage": WorkStage.ARRIVED},
     {"stage": WorkStage.FINDINGS}),
    ("The work is not finished; this is what is done so far.", {"stage": WorkStage.SO_FAR}, {}),
    ("It now keeps time within 5 seconds a day in all six positions.", {"now": SIX},
     {"now": SIX, "stage": WorkStage.FINDINGS}),
    ("5 seconds a day in the one position we listened to", {"now": RIGHT}, {"now": SIX}),
    ("5 seconds a day in the two positions we listened to", {"now": RIGHT * 2}, {"now": RIGHT}),
    ("in the three positions we listened to", {"now": RIGHT * 3}, {"now": RIGHT}),
    ("within 1 second a day", {"now": ((0.2, 0.1),)}, {"now": RIGHT}),
    ("It now runs about 46 hours on one winding.", {"hours": (46.2, 0.2)}, {}),
    ("a day in all six positions and runs about 46 hours on one winding.",
     {"now": SIX, "hours": (46.2, 0.2)}, {"now": SIX}),
    ("runs 43 to 50 hours on one winding", {"hours": (46.4, 1.5)}, {"hours": (46.4, 0.2)}),
    ("When it came it did not run.", {"ran": False}, {"ran": True, "came": LOSES}),
    ("When it came it did not run. Once set going, it lost about 52 seconds a day.",
     {"ran": False, "came": LOSES}, {"ran": False}),
    ("Not good in the tests: power reserve, beat.", {"not_good": ("Power reserve", "Beat")}, {}),
    ("Not good in the tests: beat.", {"stage": WorkStage.SO_FAR, "not_good": ("Beat",)},
     {"stage": WorkStage.FINDINGS, "not_good": ("Beat",)}),
    ("When it came it lost about 52 seconds a day.", {"came": LOSES}, {"now": LOSES}),
    ("When it came it gained about 1 second a day.", {"came": ((1, 0.1),)}, {"came": LOSES}),
    ("lost about 30 to 52 seconds a day, depending on its position",
     {"came": ((-30, 0.5), *LOSES)}, {"came": LOSES}),
    ("When it came it kept time within 5 seconds a day",
     {"came": ((4, 0.5), (-3, 0.5))}, {"came": LOSES}),
    ("We found nothing that needs work.", {"stage": WorkStage.FINDINGS, "looked": True},
     {"stage": WorkStage.FINDINGS}),
    ("We found one thing that needs work, and it is grave.",
     {"stage": WorkStage.FINDINGS, "looked": True, "to_mend": 1, "grave": 1},
     {"stage": WorkStage.FINDINGS, "looked": True, "to_mend": 1}),
    ("two things that need work, both of them grave",
     {"stage": WorkStage.FINDINGS, "looked": True, "to_mend": 2, "grave": 2},
     {"stage": WorkStage.FINDINGS, "looked": True, "to_mend": 3, "grave": 2}),
    ("all of them grave", {"stage": WorkStage.FINDINGS, "looked": True, "to_mend": 3, "grave": 3},
     {"stage": WorkStage.FINDINGS, "looked": True, "to_mend": 4, "grave": 3}),
    ("four things that need work, one of them grave",
     {"stage": WorkStage.FINDINGS, "looked": True, "to_mend": 4, "grave": 1},
     {"looked": True, "to_mend": 4, "grave": 1}),
    ("one thing you should know", {"stage": WorkStage.FINDINGS, "looked": True, "to_know": 1},
     {"stage": WorkStage.FINDINGS, "looked": True, "to_know": 5}),
    ("work, and five things you should know",
     {"stage": WorkStage.FINDINGS, "looked": True, "to_know": 5, "to_mend": 1},
     {"stage": WorkStage.FINDINGS, "looked": True, "to_know": 5}),
    ("five things you should know", {"stage": WorkStage.FINDINGS, "looked": True, "to_know": 5},
     {"stage": WorkStage.FINDINGS, "looked": True, "to_mend": 5}),
)  # fmt: skip
CHOICES = tuple(OfferedChoice(words=f"Choice {each}", numbers=each, sum="£9") for each in "12")
CONTRACT = Withdrawal(work="work on W", reference="proposal 2026-001, version 1")
WITHDRAWAL = (
    "You have the right to withdraw from this contract within 14 days without giving any reason. "
    "This time ends 14 days after the day on which the contract is made: the day on which you "
    "agree to this proposal.",
    "To use this right, tell us of your decision to withdraw by a clear statement, such as a "
    "letter sent by post or an email. We are: Werkstatt Aldermoor, 01632 960123, a@example.org.",
    "You may use the form below, but you need not. It is in time if you send it before the 14 "
    "days are over.",
    "If you withdraw, we pay back to you all that you paid us, the costs of delivery to you "
    "included (but not what it cost more because you chose another way of delivery than the "
    "cheapest usual one that we offer), without undue delay and at the latest 14 days after the "
    "day on which you told us of your decision. We pay by the means by which you paid, unless you "
    "have expressly agreed to another; you bear no fee for it.",
    "If you asked us to begin the work before the 14 days were over, you pay us for what was done "
    "until you told us that you withdraw: its share in the whole of the contract. The right ends "
    "when all the work is done, if we began it at your express wish and you had confirmed that "
    "you know this.",
    "Form of withdrawal Fill in this form and send it back only if you wish to withdraw from the "
    "contract.",
    "I/we (*) hereby give notice that I/we (*) withdraw from my/our (*) contract for the "
    "following work: work on W (proposal 2026-001, version 1).",
    "Ordered on Name of the consumer(s) Address of the consumer(s) Signature, if this is sent on "
    "paper Date (*) Strike out what does not apply.",
)
"""After Directive 2011/83/EU, Annex I, A and B."""
PROPOSAL = by(
    offered,
    ("Written on today", {"written_on": "today"}, {}),
    ("Written by Edda", {"written_by": "Edda"}, {}),
    ("Holds until May", {"expires": "May"}, {}),
    ("This proposal holds until May.", {"expires": "May"}, {"expires": "May", "agreed": True}),
    ("We begin when you have agreed. If something unforeseen turns up, we stop and ask you again "
     "with a new version of this proposal.", {}, {"agreed": True}),
    ("We begin when you have agreed.", {}, {"withdrawal": CONTRACT}),
    ("We begin when you have agreed and your 14 days of withdrawal are over, or at once if you "
     "tick so below. If something unforeseen", {"withdrawal": CONTRACT}, {}),
    ("None of it: please send the watch back Please begin before the 14 days of my right of "
     "withdrawal are over. I know that I pay for what is done until then if I withdraw, and that "
     "the right ends once all is done.", {"withdrawal": CONTRACT},
     {"withdrawal": CONTRACT, "agreed": True}),
    *((sentence, {"withdrawal": CONTRACT}, {"rights": "You may withdraw."})
      for sentence in WITHDRAWAL),
    ("Your right of withdrawal", {"withdrawal": CONTRACT, "agreed": True}, {"agreed": True}),
    ("What is new in this version: a crack", {"why_changed": "a crack"}, {}),
    ("What you agreed to, altogether", {"agreed": True}, {}),
    ("Altogether", {}, {"agreed": True}),
    ("Your choice Options Sum", {"choices": CHOICES}, {"choices": CHOICES[:1]}),
    ("Your limit: £5", {"choices": CHOICES, "limit": "£5"}, {"choices": CHOICES}),
    ("Nothing is chosen yet; if you choose option 1: £9",
     {"choices": CHOICES[:1], "total": ()}, {"choices": CHOICES[:1]}),
    ("Nothing is chosen yet; what each choice comes to:", {"choices": CHOICES, "total": ()},
     {"choices": CHOICES}),
    ("Replaced by version 2", {"replaced_by": 2}, {}),
    ("Deposit £3", {"deposit": "£3"}, {}),
    ("Your answer", {}, {"agreed": True}),
    ("Write or call: a@example.org or 01632 960123.", {}, {"how_to_answer": "Come by."}),
    ("Write or call:", {}, {"head": Letterhead(name="W")}),
    ("None of it: please send the watch back", {}, {"agreed": True}),
)  # fmt: skip
TWO = (option(), option(instead_of=1))
LONG = "The hole above the barrel has worn oval, so that the barrel leans and rubs."
ALIKE = (option(reason=LONG), option(instead_of=1, reason=LONG))
LEFT = (option(if_left=LONG), option(instead_of=1, if_left=LONG))
OPTIONS = by(
    one_of_them,
    ("Measured or seen 0.1 mm", {"evidence": "0.1 mm"}, {}),
    ("What can go wrong it cracks", {"risk": "it cracks"}, {}),
    ("If it is left it leans", {"if_left": "it leans"}, {}),
    ("£5 (necessary)", {"need": "necessary"}, {}),
    ("(advised; agreed)", {"chosen": True}, {"chosen": False}),
    ("(advised; not wanted)", {"chosen": False}, {"chosen": True}),
    ("(advised, instead of 1)", {"two": TWO}, {"two": TWO[:1]}),
    ("The reasons are those under 1.", {"two": ALIKE},
     {"two": (ALIKE[0], option(instead_of=1, reason="Bent."))}),
    ("If it is left As under 1.", {"two": LEFT},
     {"two": (LEFT[0], option(instead_of=1, if_left="It bends."))}),
    ("1. Jewel – £5 (advised)", {}, {"need": "possible"}),
    ("1. Jewel – £5 None of it", {}, {"two": TWO}),
    ("instead of 1; tick only one of 1 and 2", {"two": TWO}, {"two": (option(), option())}),
)  # fmt: skip
TAKEN = {"kind": BillKind.CANCELLATION, "cancels": "INV-0", "cancels_on": "May"}
INVOICE = by(
    billed,
    ("For our work on: W", {}, {"kind": BillKind.DEPOSIT}),
    ("Deposit invoice INV-1", {"kind": BillKind.DEPOSIT}, {}),
    ("For work still to be done on: W. The invoice for the finished work takes this deposit off, "
     "with its tax.", {"kind": BillKind.DEPOSIT}, {}),
    ("Cancellation INV-1", TAKEN, {}),
    ("· cancellation INV-1", TAKEN, {}),
    ("This cancels our invoice INV-0 of May in full: nothing is to be paid on it any more. It was "
     "for our work on: W", TAKEN, {}),
    ("Agreed on 3 May 2026 in the workshop", {"agreed": "3 May 2026 in the workshop"}, {}),
    ("Supplied on May", {"supplied": "May"}, {}),
    ("What Quantity Each without tax Tax Without tax With tax Overhaul", {"gross": "10"}, {}),
    ("What Quantity Each Sum Overhaul 1 8 8 Sum Amount Total 10", {"margin": True}, {}),
    ("Paid and to pay", {"left": ("To be paid", "£9")}, {}),
    ("To be paid £9 In all £12",
     {"left": ("To be paid", "£9"), "open_before": (("In all", "£12"),)},
     {"left": ("To be paid", "£9")}),
    ("Please pay to account 4711", {"due": "May"}, {}),
    ("Please pay to account 4711 Reference INV-1", {"due": "May"}, {}),
    ("Reference INV-1", {"due": "May"}, {"kind": BillKind.DEPOSIT}),
    ("Tax no. 12/345", {}, {"head": Letterhead(name="W")}),
    ("Tax no. 12/345", {}, {"tax_name": "VAT no."}),
    ("VAT no. 12/345", {"tax_name": "VAT no."}, {}),
    ("Your VAT number NL1", {"to_tax_number": "NL1"}, {}),
    ("Your rights You may withdraw.", {"rights": "You may withdraw."}, {}),
)  # fmt: skip
CARD = by(
    carded,
    ("Wind it fully once a day, at the same hour, until the crown stops by itself. Never force it.",
     {"sheet": "tarnbrook-31"}, {"sheet": "lindquell-25"}),
    ("Wearing it winds it. After a rest give the crown about twenty turns before you put it on.",
     {"sheet": "lindquell-25"}, {"sheet": "tarnbrook-31"}),
    ("Wind it with its own key once a day, at the same hour, until it stops by itself. A worn or "
     "wrong key spoils the square.", {"sheet": "aldermoor-45"}, {"sheet": "tarnbrook-31"}),
    ("Wind it gently. Never force the crown.", {}, {"sheet": "tarnbrook-31"}),
    (UNMENDED, {"advice": advice(None, mended=False)}, {}),
    ("Stop the chronograph before you set it back to zero, unless it is a fly-back.",
     {"sheet": "tarnbrook-31"}, {"sheet": "lindquell-25"}),
    ("A small plastic wheel sets the date inside: it breaks when it is forced.",
     {"sheet": "lindquell-25"}, {"sheet": "tarnbrook-31"}),
    ("Its luminous paint may be radium: keep it closed, not in a bedroom or with children, and do "
     "not wear it day and night. Ask the radiation protection authority where you live.",
     {"radium": radium_words(radium_possible())}, {}),
    ("Its luminous paint must be treated as radium: keep it closed",
     {"radium": radium_words(radium_seen())}, {"radium": radium_words(radium_possible())}),
    ("Whether it has radium paint is not settled: keep it closed",
     {"radium": radium_words(radium_unknown())}, {"radium": radium_words(radium_seen())}),
    ("If it shows the date: never set the date on its own", {}, {"sheet": "tarnbrook-31"}),
    ("Never set the date on its own while the hands stand", {"sheet": "lindquell-25"},
     {"sheet": "tarnbrook-31"}),
    ("The dial does not tell morning from evening: mind those hours twice a day. Turn the hands "
     "forward to 5 o'clock first, then set the date.", {"sheet": "lindquell-25"},
     {"sheet": "corvanne-17"}),
)  # fmt: skip
CAUTION = by(
    cautioned,
    ("Its luminous paint must be treated as radium: There are brown marks such as radium paint "
     "leaves. Keep the case closed and never scrape or blow at the paint. Do not keep it in a "
     "bedroom or where children play, and do not wear it day and night. Ask the radiation "
     "protection authority where you live.", {"burn_marks": True}, {"luminous": True, **OLD}),
    ("Its luminous paint may be radium: Paint of its age may hold radium, whether it still glows "
     "or not.", {"luminous": True, **OLD}, {"luminous": True, **NEW}),
    ("Whether it has radium paint is not settled: Nobody has settled yet whether there is luminous "
     "paint on it, and its age makes radium possible. Until then: keep the case closed and never "
     "scrape or blow at the paint. Do not keep it in a bedroom or where children play, and do not "
     "wear it day and night. Ask the radiation protection authority where you live.", OLD,
     {"luminous": False, **OLD}),
    ("Marked T: Its paint is tritium, harmless behind the glass. If the glass breaks, put the "
     "watch into a closed bag and wash your hands.", {"marked_t": True, "luminous": True, **NEW},
     {"marked_t": True, "luminous": True, **OLD}),
    ("Marked T: The T says that the dial's paint is tritium, harmless behind the glass. It says "
     "nothing about the hands, which may still be radium.",
     {"marked_t": True, "luminous": True, **OLD},
     {"marked_t": True, "luminous": True, **NEW}),
    ("Water: Keep it dry: no hand-washing, no shower, no swimming, whatever the case says.", {},
     {}),
    ("Magnets: Keep it a hand's breadth from loudspeakers, phones, tablet covers and magnetic "
     "clasps.", {}, {}),
    ("Stopwatch: Stop it before you set it back to zero, unless it is a fly-back.",
     {"sheet": "tarnbrook-31"}, {"sheet": "lindquell-25"}),
    ("Setting the date: Never at night.", {"date_words": "Never at night."}, {}),
)  # fmt: skip
SEEN = {"key": "hands", "by": "Edda"}
RESERVE = {"key": "reserve", "result": "good"}
TESTS = by(
    result_of,
    (" in order; looked at by Edda, no figure", {**SEEN, "result": "good"}, {**SEEN, "result": ""}),
    ("not in order; looked at by Edda", {**SEEN, "result": "bad"}, {**SEEN, "result": "good"}),
    ("left out: no time", {**SEEN, "result": "skip", "note": "no time"},
     {**SEEN, "result": "good"}),
    ("left out", {**SEEN, "result": "skip"}, {**SEEN, "result": "bad"}),
    ("46.0 ± 2.0 h at least 42 h good", {**RESERVE, "value": Measured(46, 1)}, RESERVE),
    ("not good", {**RESERVE, "value": Measured(30, 1)}, {**RESERVE, "value": Measured(46, 1)}),
    ("near the limit: keeps it with 50 %", {**RESERVE, "value": Measured(42, 1)},
     {**RESERVE, "value": Measured(46, 1)}),
    ("+3.0 ± 1.0 s a day  noted; no limit is set",
     {"key": "rate-full", "result": "good", "value": Measured(3, 0.5)},
     {**RESERVE, "value": Measured(46, 1)}),
)  # fmt: skip
ALWAYS = ("Water: Keep it dry", "Magnets: Keep it a hand")
"""What every owner is told whatever the records say: there is no record that must not make it."""
CASES = (*REPORT, *PROOF, *RESULT, *PROPOSAL, *OPTIONS, *INVOICE, *CARD, *CAUTION, *TESTS)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.sentence[:60])
def test_a_sentence_stands_where_a_record_makes_it_and_nowhere_else(case):
    assert case.sentence in case.made()
    if not case.sentence.startswith(ALWAYS):
        assert case.sentence not in case.not_made()


MODULES = (
    "documents/report.py",
    "documents/answer.py",
    "documents/acceptance.py",
    "documents/result.py",
    "documents/proposal.py",
    "documents/withdrawal.py",
    "documents/invoice.py",
    "workshop_rules/owner_cautions.py",
    "workshop_rules/acceptance_told.py",
)
FOR_THE_RESTORER = ("gaps", "option_gaps", "bill_gaps", "data_gap", "says_so")
"""Functions whose words are told beside a paper, or only compared, and never printed."""


@pytest.mark.parametrize("module", MODULES)
def test_every_wording_of_the_owner_s_papers_has_its_case(module):
    found = wordings((SOURCE / module).read_text(), unprinted=FOR_THE_RESTORER)
    assert len(found) > 5
    assert without_case(found, CASES) == set()


IN_EVERY_LANGUAGE = (*RESULT, *CAUTION, *TESTS, *PROPOSAL, *OPTIONS, *INVOICE)
OWN_WORDS = "Werkstatt Aldermoor example org account Edda Overhaul Jewel Total Tax INV today"
"""What every case of a paper has in its records. The card is held to it as it is printed."""


@pytest.mark.parametrize("case", IN_EVERY_LANGUAGE, ids=lambda case: case.sentence[:60])
def test_no_word_of_a_sentence_escapes_the_owner_s_language(case):
    with speaking_with_accents():
        told = case.made()
    assert escaped(told, f"{OWN_WORDS} {case.records}") == set()
