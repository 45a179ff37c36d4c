"""Drawings as SVG text: sections of parts to scale, tolerance bands, sketches for a shop.

    lengths    a size in the unit the user thinks in
    svg        elements with escaped text, hatches that need no colour
    shapes     the outline of each kind of part from its sizes
    view       where millimetres fall on the paper
    machine    shaft, housing, groove, where they were measured
    labels     the sizes beside a section, none covering another
    section    old and new side by side at one scale, the misfit marked
    bands      what is permitted, what is there, and where they overlap
    of_match   the pictures of a match's candidates and checks

Pure functions: sizes in mm go in, a string of SVG comes out. Shades are `currentColor`, so that a
drawing reads on white, on black and on paper; meaning is in hatches, line styles and words.
"""
