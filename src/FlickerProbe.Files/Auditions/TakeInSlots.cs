using FlickerProbe.Camera;

namespace FlickerProbe.Files.Auditions;

/// <summary>A clip that the audition file expects.</summary>
/// <param name="Name">Its name as written in the file.</param>
/// <param name="For">What it is for: the fixtures whose take it is, or "fixture off".</param>
/// <param name="Rate">Rate it should have; null when the file does not say.</param>
/// <param name="ShortestSeconds">How long it must be at least, seconds.</param>
/// <param name="IsThere">Whether a file of that name is in its place already.</param>
public sealed record TakeSlot(string Name, string For, FrameRate? Rate, double ShortestSeconds, bool IsThere);

/// <summary>Lists the clips that an audition file expects, in the order of shooting.</summary>
public static class TakeInSlots
{
    /// <summary>A level needs some seconds of footage, and a step to the next takes a moment.</summary>
    private const double SecondsPerLevel = 2;

    /// <summary>The clips in the order of the file; numbered names (01-…, 02-…) in the order of their numbers.</summary>
    public static IReadOnlyList<TakeSlot> Of(Audition audition)
    {
        var slots = new List<TakeSlot>();
        foreach ((AuditionFixture fixture, AuditionTake take) in audition.Fixtures.SelectMany(f => f.Takes.Select(t => (f, t))))
        {
            if (take.Reference is not null && slots.All(s => s.Name != take.Reference))
                slots.Add(new TakeSlot(take.Reference, "fixture off", take.Rate, SecondsPerLevel, File.Exists(take.ReferencePath)));
            int known = slots.FindIndex(s => s.Name == take.Clip);
            if (known >= 0) slots[known] = slots[known] with { For = $"{slots[known].For}, {fixture.Name}" };
            else slots.Add(new TakeSlot(take.Clip, fixture.Name, take.Rate, SecondsPerLevel * take.Levels.Count, File.Exists(take.ClipPath)));
        }
        bool numbered = slots.All(s => Number(s.Name) is not null);
        return numbered ? [.. slots.OrderBy(s => Number(s.Name))] : slots;
    }

    private static int? Number(string name)
    {
        string digits = new([.. Path.GetFileName(name).TakeWhile(char.IsAsciiDigit)]);
        return digits.Length is > 0 and < 7 ? int.Parse(digits, System.Globalization.CultureInfo.InvariantCulture) : null;
    }
}
