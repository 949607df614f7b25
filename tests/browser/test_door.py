"""Coming in and going out."""


def test_a_stranger_sees_only_the_door(open_desk):
    stranger = open_desk()
    stranger.go("/")
    assert "/sign-in/" in stranger.page.url
    stranger.look()


def test_a_link_lets_in_once(desk):
    desk.look()
    desk.page.get_by_role("button", name="Sign out").press("Enter")
    assert "/sign-in/" in desk.page.url
