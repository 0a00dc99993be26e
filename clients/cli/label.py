"""``prepwright label``: the label of what was made, of its waste, or a nominal one."""

import argparse

from clients.cli.targets import plan_id, write_pages
from clients.errors import AskError
from clients.transport import bench


def label(options: argparse.Namespace) -> int:
    """Write the label as PDF; the exit code."""
    with bench(options.server) as at:
        if options.nominal:
            if options.waste:
                raise AskError("A waste label is made of what was recorded, not of a plan.")
            found = plan_id(at, options.id)
            return write_pages(at.nominal_label(found, options.size, options.copies), options.out, f"label-{found}")
        if len(options.id) != 1:
            raise AskError("Which preparation? Give its id; a label before anything was weighed needs --nominal.")
        pages = at.label(options.id[0], options.size, options.copies, options.waste)
    return write_pages(pages, options.out, f"{'waste' if options.waste else 'label'}-{options.id[0]}")
