namespace FlickerProbe.Verdict;

/// <summary>Why a ruling is as it is.</summary>
/// <param name="Code">A stable code, see <see cref="Measurement.FindingCodes"/>.</param>
/// <param name="Message">One plain sentence with its number.</param>
/// <param name="Line">The line it was held against (a ratio); null when there is none.</param>
/// <param name="Source">Where the line comes from; null when there is none.</param>
public sealed record Reason(string Code, string Message, double? Line = null, string? Source = null);

/// <summary>A ruling with its reasons, the weightiest first.</summary>
/// <param name="Ruling">Pass, watch or fail.</param>
/// <param name="Reasons">At least one.</param>
public sealed record Judgement(Ruling Ruling, IReadOnlyList<Reason> Reasons);
