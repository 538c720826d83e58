using FlickerProbe.Units;

namespace FlickerProbe.Verdict;

/// <summary>Which emitters of a light flicker on camera, in words.</summary>
public static class ColourWords
{
    /// <summary>Such as: The blue emitter flickers, red and green do not.</summary>
    /// <param name="channels">Name of each channel with its modulation depth on camera.</param>
    /// <param name="lines">A channel flickers when its depth is surely over the pass line, and does not when it is surely under it.</param>
    /// <returns>A sentence without its full stop; null when none of them surely flickers.</returns>
    public static string? Of(IReadOnlyList<(string Name, Estimate Depth)> channels, Lines lines)
    {
        string[] flicker = [.. channels.Where(c => c.Depth.Low > lines.Pass).Select(c => c.Name)];
        string[] steady = [.. channels.Where(c => c.Depth.High < lines.Pass).Select(c => c.Name)];
        string[] open = [.. channels.Select(c => c.Name).Except(flicker).Except(steady)];
        if (flicker.Length == 0) return null;
        string sentence = flicker.Length == 1 ? $"The {flicker[0]} emitter flickers" : $"The {And(flicker)} emitters flicker";
        if (steady.Length > 0) sentence += $", {And(steady)} {(steady.Length == 1 ? "does" : "do")} not";
        if (open.Length > 0) sentence += $"; of {And(open)} it can't be told";
        return sentence;
    }

    /// <summary>What can't be excluded in the channels one by one, such as: In red, green and blue by themselves it is at most 0.3 %.</summary>
    /// <param name="channels">Name of each channel with its modulation depth on camera; at least one.</param>
    public static string Bound(IReadOnlyList<(string Name, Estimate Depth)> channels) =>
        $"In {And([.. channels.Select(c => c.Name)])} by {(channels.Count == 1 ? "itself" : "themselves")} it is at most {Percent.Of(channels.Max(c => c.Depth.High))}.";

    private static string And(string[] names) => names.Length == 1 ? names[0] : string.Join(", ", names[..^1]) + " and " + names[^1];
}
