using FlickerProbe.Files.Yaml;

namespace FlickerProbe.Files.Auditions;

/// <summary>Reads one fixture of an audition file.</summary>
internal static class AuditionFixtureReader
{
    internal static AuditionFixture Read(YamlMap map, List<AuditionCamera> cameras, AuditionPaths paths)
    {
        map.Only("a fixture", AuditionKeys.Fixture);
        string name = map.RequiredText("name", "A fixture").Trim();
        List<AuditionTake> takes = [];
        foreach (YamlItem item in map.Required("takes", $"The fixture '{name}'").AsSequence("'takes'").Items)
        {
            AuditionTake take = AuditionTakeReader.Read(item.AsMap("A take"), cameras, paths);
            // The same evidence twice would count twice.
            if (takes.Any(t => t.ClipPath == take.ClipPath && t.Region == take.Region))
                throw item.Problem($"The clip '{take.Clip}' is listed twice for '{name}': keep one of them, or give each its own region.");
            takes.Add(take);
        }
        List<double>? used = map.Sequence("levels-used") is { } list ? AuditionTakeReader.ReadLevels(list, "levels-used") : null;
        if (used is { Count: 0 }) throw map.Problem("'levels-used' is empty: name the levels the verdict is for, or leave it out for all.");
        if (used is not null && used.Distinct().Count() < used.Count) throw map.Find("levels-used")!.Problem("'levels-used' names a level twice: keep one of them.");

        List<KeyValuePair<string, string>> more = [];
        foreach (YamlMapEntry entry in map.Map("more")?.Entries ?? [])
            more.Add(new(entry.Key.Text, entry.Value.AsScalar($"'{entry.Key.Text}'").Text));
        return new AuditionFixture(name, map.Text("price"), map.Text("mode"), map.Text("firmware"), map.Text("notes"), more, used, takes);
    }

    /// <summary>The camera that a block names; null when it names none.</summary>
    internal static AuditionCamera? FindCamera(YamlMap map, List<AuditionCamera> cameras)
    {
        if (map.Find("camera")?.AsScalar("'camera'") is not { } name) return null;
        if (cameras.FirstOrDefault(c => c.Name == name.Text) is { } camera) return camera;
        string? nearest = NearestWord.To(name.Text, [.. cameras.Select(c => c.Name)]);
        throw name.Problem($"The camera '{name.Text}' is not listed under 'cameras'" + (nearest is null
            ? $": add it there, as '{name.Text}: {{}}' when its readout is unknown."
            : $": did you mean '{nearest}'?"));
    }
}
