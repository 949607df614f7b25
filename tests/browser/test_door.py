"""Coming in and going out."""

from sideshake.web.people.sign_in import new_link


def test_a_stranger_sees_only_the_door(open_desk):
    stranger = open_desk()
    stranger.go("/")
    assert "/sign-in/" in stranger.page.url
    stranger.look()


def test_the_door_shuts_nobody_out(open_desk, restorer):
    newcomer = open_desk()
    newcomer.go(f"/sign-in/{new_link(restorer)}/")
    newcomer.look()


def test_who_came_in_goes_out_by_a_press(desk):
    desk.look()
    desk.page.get_by_role("button", name="Sign out").press("Enter")
    assert "/sign-in/" in desk.page.url
