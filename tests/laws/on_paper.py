"""What of some pages is cut off: by the paper's edge, or by the seam of two pages."""

from platewright.drawing.items import Clip, Text, mark_bounds, marks

ROUNDING = 1e-6


def cut_off(pages):
    """Words and marks that reach beyond their paper, and words that no page of a pattern has whole.

    A pattern's lines may run on over a page's border when there is another page for them.
    """
    lost = []
    for page in pages:
        for item in page.items:
            if not isinstance(item, Clip):
                lost += [m for m in marks((item,)) if not _within(page.bounds, m)]
            elif not page.bounds.grown(ROUNDING).holds(_moved(item)):
                lost.append(item)
    for run in _patterns(pages):
        clips = [item for page in run for item in page.items if isinstance(item, Clip)]
        for clip in clips:
            for mark in marks(clip.items):
                alone = len(clips) == 1 or isinstance(mark, Text)
                if alone and not any(_within(each.window, mark) for each in clips):
                    lost.append(mark)
    return lost


def _within(box, mark):
    bounds = mark_bounds(mark)
    return bounds is None or box.grown(ROUNDING).holds(bounds)


def _moved(clip):
    from platewright.drawing.items import moved_bounds

    return moved_bounds(clip.window, clip.motion)


def _patterns(pages):
    """The pages that share a pattern: those that follow each other with one name."""
    runs = {}
    for index, page in enumerate(pages):
        place = page.title.rpartition(": ")[2]
        first = place.startswith(("page 1 of", "notes", "sheet")) or not runs
        key = index if first else max(runs)
        runs.setdefault(key, []).append(page)
    return list(runs.values())
