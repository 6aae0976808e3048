"""Every family of commands, in the order in which ``windowcast --help`` lists them."""

# ruff: noqa: F401, I001 - importing them hangs them on the app, in the order of the help
import windowcast.cli.new
import windowcast.cli.importing
import windowcast.cli.check
import windowcast.cli.morning
import windowcast.cli.why
import windowcast.cli.run
import windowcast.cli.serve
import windowcast.cli.visit
import windowcast.cli.visits
import windowcast.cli.seen
import windowcast.cli.reports
import windowcast.cli.mites
import windowcast.cli.backup
import windowcast.cli.demo
import windowcast.cli.schema
