"""``prepwright sheet``: the bench sheet of a plan, or the record of a preparation."""

import argparse

from clients.cli.targets import plan_id, write_pages
from clients.transport import bench


def sheet(options: argparse.Namespace) -> int:
    """Write the sheet as PDF; the exit code."""
    with bench(options.server) as at:
        found = plan_id(at, options.id)
        pages = at.sheet(found)
    return write_pages(pages, options.out, f"sheet-{found}")
