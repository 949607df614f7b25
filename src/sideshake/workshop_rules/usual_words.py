"""The words that a workshop begins with for its owners; it changes them on its page *Settings*.

As long as they stand as they are, an owner reads them in his language. Check the local law.
"""

from sideshake.wording import noop

WARRANTY = noop(
    "Covers the work named in the invoice. It ends with a shock, with water or when the watch is "
    "opened elsewhere; the water resistance of an old case is not covered."
)
WITHDRAWAL = noop(
    "You may withdraw from this contract within 14 days of the day on which it was made, without "
    "giving a reason, by a clear statement to us by letter, email or telephone; it is enough to "
    "send it before the 14 days are over. We then pay back what you paid, within 14 days of "
    "hearing from you. If you asked us to begin within that time, you pay for the part of the work "
    "that was done until then; once the whole work is done at your express wish, the right ends."
)
GUARANTEE = noop(
    "Your statutory rights if the work or a part is not as agreed stay as they are: putting it "
    "right free of charge, and where that fails a lower price or your money back. Our own warranty "
    "comes on top of them."
)
