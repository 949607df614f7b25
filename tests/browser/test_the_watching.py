"""What goes wrong on a page is noticed: otherwise the other tests of this folder prove nothing."""

import pytest


@pytest.mark.parametrize(
    ("doing", "noticed"),
    [
        ("console.error('a fault')", "console: a fault"),
        ("setTimeout(() => { throw new Error('a fault') })", "page error: a fault"),
        ("document.body.setAttribute('style', 'color: red')", "Content Security Policy"),
        ("fetch('/nowhere/')", "404"),
        ("fetch('http://127.0.0.1:9/')", "Content Security Policy"),
    ],
)
def test_a_fault_is_noted(open_desk, doing, noticed):
    desk = open_desk()
    desk.go("/sign-in/")
    desk.page.evaluate(f"() => {{ {doing} }}")
    for _each in range(50):
        if not desk.wrong:
            desk.page.wait_for_timeout(100)
    assert noticed in " ".join(desk.wrong)
    desk.page.close()
    desk.wrong.clear()


@pytest.mark.parametrize(
    ("spoilt", "told"),
    [
        ("<img src='/static/bench/icon.svg'>", "image-alt"),
        ("<input name='unnamed'>", "label"),
        ("<table class='list'><tr><td><a href='/'>a</a></td></tr></table>", ""),
        ("<h1>two</h1><a class='button' href='/'><i></i></a>", "link-name"),
    ],
)
def test_a_page_that_shuts_somebody_out_is_noticed(open_desk, spoilt, told):
    desk = open_desk()
    desk.go("/sign-in/")
    desk.page.evaluate("(html) => document.querySelector('main').innerHTML += html", spoilt)
    if told:
        with pytest.raises(AssertionError, match=told):
            desk.look()
    else:
        desk.look()


def test_what_is_hard_to_hit_or_too_wide_is_noticed(open_desk):
    desk = open_desk(size="tablet")
    desk.go("/sign-in/")
    main = "document.querySelector('main')"
    desk.page.evaluate(f"{main}.innerHTML += '<details><summary>s</summary></details>'")
    desk.page.evaluate("document.querySelector('summary').style.minHeight = '20px'")
    with pytest.raises(AssertionError, match="hard to hit"):
        desk.look()
    desk.page.evaluate("document.querySelector('summary').remove()")
    desk.page.evaluate(f"{main}.style.minWidth = '1000px'")
    with pytest.raises(AssertionError, match="wider than the screen"):
        desk.look()
