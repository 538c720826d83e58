namespace FlickerProbe.Verdict;

/// <summary>The answer for one format, level or fixture. Order is from good to bad.</summary>
public enum Ruling
{
    /// <summary>The upper bound lies under the pass line and the evidence suffices.</summary>
    Pass,

    /// <summary>Neither: in between, or the footage cannot tell.</summary>
    Watch,

    /// <summary>The lower bound lies over the fail line.</summary>
    Fail,
}
