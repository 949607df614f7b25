"""Two people at one visit."""


def test_the_second_of_two_is_told_and_nothing_is_overwritten(
    open_desk, restorer, colleague, visit
):
    first, second = open_desk(restorer), open_desk(colleague, size="tablet")
    for desk in (first, second):
        desk.go(f"/visits/{visit.number}/arrival/")
    first.write("What is wrong", "Stops in the night.")
    first.enter("Save")
    second.write("What is wrong", "Gains.")
    second.expected.add(409)
    second.enter("Save")
    second.look()
    second.shows("Wenna Thrale has changed this meanwhile", "Stored now: Stops in the night.")
    assert second.page.get_by_label("What is wrong").input_value() == "Gains."
    visit.refresh_from_db()
    assert visit.complaint == "Stops in the night."
    second.enter("Save")
    visit.refresh_from_db()
    assert visit.complaint == "Gains."
