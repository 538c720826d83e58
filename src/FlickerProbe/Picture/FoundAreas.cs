using FlickerProbe.Footage;

namespace FlickerProbe.Picture;

/// <summary>What a cell of the picture is good for.</summary>
public enum CellUse
{
    /// <summary>Lit, but not part of a measured area: the outer, dimmer part of a pool of light.</summary>
    Beside,

    /// <summary>Part of a measured area.</summary>
    Measured,

    /// <summary>Under the usable part of the signal scale even when the light is brightest.</summary>
    Dark,

    /// <summary>Clipped, or so near to it that it can't be told.</summary>
    Clipped,

    /// <summary>Something is drawn or written there, or it is an edge: bands could not be told from that.</summary>
    Patterned,

    /// <summary>Something moves through it.</summary>
    Moving,

    /// <summary>Lit and still, but too small an area, or hardly any light beside the others.</summary>
    Small,
}

/// <summary>One area that can be measured.</summary>
/// <param name="Region">Where, in pixels of the displayed picture.</param>
/// <param name="Cells">Where, on the grid of the coded picture.</param>
/// <param name="MeanLevel">Mean signal level, 0 black … 1 nominal white.</param>
/// <param name="Position">Where it lies among the others, in words: left, top right, …; empty when it is the only one.</param>
public sealed record FoundArea(Region Region, CellRect Cells, double MeanLevel, string Position)
{
    /// <summary>Whether something passes through it at times; it was kept since nothing better was left.</summary>
    public bool SomethingPasses { get; init; }
}

/// <summary>The areas of a picture that can be measured, and why the rest was left out.</summary>
/// <param name="Areas">Left to right, top to bottom, as displayed; may be empty.</param>
/// <param name="Use">Use of each cell, row by row of the coded picture.</param>
/// <param name="BrightestLevel">Largest mean level of any cell.</param>
public sealed record FoundAreas(IReadOnlyList<FoundArea> Areas, CellUse[] Use, double BrightestLevel)
{
    /// <summary>The area that serves best when only one is wanted: the one with most light.</summary>
    public FoundArea? Main => Areas.MaxBy(a => (double)a.Cells.Area * a.MeanLevel);

    /// <summary>Share of the picture that has a use, 0…1.</summary>
    public double Share(CellUse use) => (double)Use.Count(u => u == use) / Use.Length;
}
