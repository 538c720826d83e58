namespace FlickerProbe.Room;

/// <summary>One figure about people in the room, not about cameras. Informative: never a compliance test.</summary>
/// <param name="Metric">What it is, with the threshold or cut-off it uses.</param>
/// <param name="Value">The figure; null when this footage can't tell.</param>
/// <param name="Unit">Its unit; <c>1</c> for a plain number or ratio.</param>
/// <param name="Line">The line it is usually held against, same unit; null when there is none.</param>
/// <param name="Source">Where the metric and the line come from.</param>
/// <param name="Remark">What this footage can't see, in one or two plain sentences.</param>
public sealed record RoomFigure(string Metric, double? Value, string Unit, double? Line, string Source, string Remark);
