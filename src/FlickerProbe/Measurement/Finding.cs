namespace FlickerProbe.Measurement;

/// <summary>Something doubtful about a take or the reason for a ruling: a stable code and one plain sentence that carries its numbers and what to do.</summary>
/// <param name="Code">One of <see cref="FindingCodes"/>; part of the public interface.</param>
/// <param name="Message">One plain sentence for a person.</param>
public sealed record Finding(string Code, string Message)
{
    /// <summary>Whether this doubt alone forbids a pass.</summary>
    public bool ForbidsPass { get; init; }
}
