"""One kivy window for all tests of the touch app, without a display; the environment comes first."""

from shopapp import headless

headless.prepare()
