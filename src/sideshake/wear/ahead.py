"""What is said of what nobody measured, beside the verdict."""

from sideshake.wear.measure_first import conditions_sentence, sound_sentence, worth_words
from sideshake.wear.verdict import Action, Verdict


def ahead_sentences(judged: Verdict) -> list[str]:
    """Return from where on it rubs, where it is not repaired, and what is still worth measuring."""
    ahead = judged.outlook
    if ahead is None:
        return []
    said = [] if judged.places else [conditions_sentence(ahead)]
    if judged.action is Action.MEASURE:
        said.append(sound_sentence(ahead))
    elif ahead.best:
        best = ahead.best
        said.append(f"Still worth measuring: the {best.size.words}, {worth_words(best)}.")
    return [each for each in said if each]
