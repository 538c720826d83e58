namespace FlickerProbe.Robustness;

/// <summary>What a hostile input may at most lead to.</summary>
internal enum Bound
{
    /// <summary>Any of the contract's endings: a result, or a refusal.</summary>
    AnyEnding,

    /// <summary>The light in the clip flickers plainly: a result must not be a pass, whatever was done to the file.</summary>
    NeverPass,

    /// <summary>The light is steady: a pass is right for the whole file, and must carry a warning once pictures are lost.</summary>
    PassOnlyWithWarning,

    /// <summary>It must be refused: what it points at is not to be opened.</summary>
    Refused,

    /// <summary>As <see cref="Refused"/>; the report of the audition may name what could not be measured.</summary>
    RefusedInReport,

    /// <summary>It is sound, if odd: it must be measured.</summary>
    Measured,
}

/// <summary>One call of the program on one hostile input.</summary>
/// <param name="Class">What kind of hostility, for the table of the report.</param>
/// <param name="Name">Which one of its kind.</param>
/// <param name="Bound">What may come of it at most.</param>
/// <param name="Prepare">Makes the input inside the given folder and tells the arguments of the call.</param>
internal sealed record Trial(string Class, string Name, Bound Bound, Func<string, string[]> Prepare)
{
    /// <summary>The call has to end within this time, on a machine that does other work too.</summary>
    public TimeSpan Limit { get; init; } = TimeSpan.FromSeconds(45);

    /// <summary>A further check of what was written and said; returns what is wrong, or null.</summary>
    public Func<Ending, string?>? Also { get; init; }

    /// <summary>Environment variables for the call; only for calls in a process of their own.</summary>
    public IReadOnlyDictionary<string, string> Environment { get; init; } = new Dictionary<string, string>();
}

/// <summary>How a call ended.</summary>
/// <param name="Status">Exit status; null when it had to be given up on.</param>
/// <param name="Output">Standard output.</param>
/// <param name="Error">Standard error.</param>
/// <param name="Seconds">How long it took.</param>
/// <param name="Folder">The trial's folder; results go to its sub-folder <c>out</c>.</param>
internal sealed record Ending(int? Status, string Output, string Error, double Seconds, string Folder)
{
    /// <summary>Where results go.</summary>
    public string Out => Path.Combine(Folder, OutName);

    /// <summary>Name of the folder for results.</summary>
    public const string OutName = "out";

    /// <summary>The last line on standard error: the refusal, after whatever progress was shown.</summary>
    public string Refusal => Error.TrimEnd().Split('\n')[^1].TrimEnd('\r');
}

/// <summary>A trial with how it went.</summary>
/// <param name="Trial">The trial.</param>
/// <param name="Status">Exit status; null when it had to be given up on.</param>
/// <param name="Verdict">The verdict, if there was a result.</param>
/// <param name="Seconds">How long it took.</param>
/// <param name="Wrong">What was wrong with the ending; empty when it survived.</param>
/// <param name="Refusal">The sentence of a refusal.</param>
internal sealed record TrialResult(Trial Trial, int? Status, string? Verdict, double Seconds, IReadOnlyList<string> Wrong, string Refusal);
