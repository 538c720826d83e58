namespace FlickerProbe.Files.Reports;

/// <summary>The parts that every report says alike.</summary>
internal static class FixedSections
{
    public static IEnumerable<Block> Method()
    {
        yield return new HeadingBlock(2, "How it was measured", "method");
        yield return new TextBlock(
            "A rolling-shutter camera reads its picture row by row, so every frame is a short recording of the light and the clip a row of such recordings. " +
            "The codes of the clip are turned back into light with its transfer curve, averaged along each row of the region, and the resulting table of frames and rows is searched for tones. " +
            "The rows give a tone's rough frequency, the frames its fine one; together they give the light's true frequency. " +
            "The shutter averages the light and so weakens a tone by a known factor, which is undone to find the light itself and applied again to tell what another shutter will show.");
        yield return new ListBlock(
            [
                "Modulation depth is (max − min) / (max + min) of the light over a period: 0 % is steady, 100 % goes dark.",
                "Flicker index is the share of the light that lies above its mean over a period.",
                "Every value carries a 95 % interval. A pass needs the upper end under the pass line, a fail the lower end over the fail line; all else is watch.",
                "Where several true frequencies fit what was seen, the worst of them counts.",
            ],
            ListKind.Plain);
        yield return new HeadingBlock(2, "Limits", "limits");
        yield return new ListBlock(
            [
                "Each take has a detection limit: compression and noise hide what is fainter.",
                "A tone whose period goes a whole number of times into the shutter time is hidden at that shutter; takes at other shutters are needed to see it.",
                "Bands that stand still may look like the scene's own shading, and a beat slower than the clip is long can't be told from drifting light.",
                "Other light on the same surface dilutes the flicker, unless a take with the fixture off was given.",
                "The verdict holds for the levels, modes and formats that were tested, and for the unit that was tested.",
            ],
            ListKind.Plain);
    }

    public static IEnumerable<Block> Cautions()
    {
        yield return new HeadingBlock(2, "Cautions", "cautions");
        yield return new ListBlock(
            [
                "Photosensitive viewers: flashing pictures can cause seizures. Do not broadcast or play on a large screen what pulses more than three times a second without having it checked against the rules that apply to you.",
                "Electrical work and work at height are for licensed people, under your local codes. Isolate fixtures before touching their wiring or drivers.",
                "This is a camera test, not a compliance test: it does not show that a product meets any standard or regulation.",
            ],
            ListKind.Caution);
    }
}
