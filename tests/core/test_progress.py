import io

from halfbat.progress import WIDTH, ProgressBar


class Terminal(io.StringIO):
    def isatty(self):
        return True


def test_a_bar_on_one_line_that_is_wiped():
    terminal = Terminal()
    bar = ProgressBar(terminal)
    bar(0.0, "laying bricks")
    bar(0.5, "skins")
    bar.close()
    lines = terminal.getvalue().split("\r")
    assert lines[1].startswith("[" + "." * WIDTH + "]   0% laying bricks")
    assert lines[2].startswith("[" + "#" * (WIDTH // 2) + "." * (WIDTH // 2) + "]  50% skins")
    assert len(lines[2]) >= len(lines[1].rstrip())  # nothing of the longer line before is left over
    assert lines[3].strip() == ""
    assert "\n" not in terminal.getvalue()


def test_the_same_line_is_not_drawn_twice():
    terminal = Terminal()
    bar = ProgressBar(terminal)
    for step in range(1000):
        bar(0.5 + step * 1e-9, "skins")
    assert terminal.getvalue().count("\r") == 1


def test_shares_outside_are_shown_as_the_nearer_end():
    terminal = Terminal()
    bar = ProgressBar(terminal)
    bar(-1.0, "x")
    bar(7.0, "x")
    assert "  0%" in terminal.getvalue() and "100%" in terminal.getvalue()


def test_nothing_where_nobody_watches():
    for stream, shown in ((io.StringIO(), True), (Terminal(), False)):
        bar = ProgressBar(stream, shown=shown)
        bar(0.5, "skins")
        bar.close()
        assert stream.getvalue() == ""
