using FlickerProbe.Camera;
using FlickerProbe.Files.Auditions;

namespace FlickerProbe.Tests.Auditions;

public class TakeInTests
{
    private static readonly DateTimeOffset Start = new(2030, 1, 31, 19, 0, 0, TimeSpan.Zero);

    private static TakeSlot Slot(string name, string fixture, string? rate = "25", double seconds = 6, bool there = false) =>
        new(name, fixture, rate is null ? null : FrameRate.Parse(rate), seconds, there);

    private static TakeInClip Clip(string name, int minute, string rate = "25", double seconds = 20, bool tagged = true) =>
        new("/x/" + name, name, tagged ? Start.AddMinutes(minute) : null, Start.AddMinutes(minute), FrameRate.Parse(rate), seconds);

    private static readonly TakeSlot[] Evening =
    [
        Slot("01-wash-a-take-1.mp4", "Wash A"), Slot("02-wash-a-take-2.mp4", "Wash A", "59.94"),
        Slot("03-wash-b-take-1.mp4", "Wash B"), Slot("04-wash-b-take-2.mp4", "Wash B", "59.94"),
    ];

    private static string Said(TakeInTable table) => string.Join("; ", table.Matches.Select(m => $"{m.Slot.Name[..2]}:{m.State}:{m.Clip?.Name}"));

    [Fact]
    public void A_full_evening_is_matched_in_order_of_recording()
    {
        // Names count down so that only the recording times can tell.
        TakeInTable table = TakeIn.Match(Evening, [Clip("C4.mp4", 0), Clip("C3.mp4", 5, "59.94"), Clip("C2.mp4", 9), Clip("C1.mp4", 14, "59.94")]);
        Assert.Equal("01:Matched:C4.mp4; 02:Matched:C3.mp4; 03:Matched:C2.mp4; 04:Matched:C1.mp4", Said(table));
        Assert.Empty(table.Left);
        Assert.Equal("the recording times in the clips", table.OrderedBy);
        Assert.Contains("59.94 fps, 20 s long", table.Matches[1].Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void A_false_start_that_is_too_short_is_left_out()
    {
        TakeInTable table = TakeIn.Match(Evening, [Clip("C1.mp4", 0, seconds: 2), Clip("C2.mp4", 1), Clip("C3.mp4", 5, "59.94"), Clip("C4.mp4", 9), Clip("C5.mp4", 14, "59.94")]);
        Assert.Equal("01:Matched:C2.mp4; 02:Matched:C3.mp4; 03:Matched:C4.mp4; 04:Matched:C5.mp4", Said(table));
        Assert.Equal(["C1.mp4"], table.Left.Select(c => c.Name));
    }

    [Fact]
    public void Two_clips_that_fit_one_take_are_left_open()
    {
        TakeInTable table = TakeIn.Match(Evening, [Clip("C1.mp4", 0), Clip("C2.mp4", 1), Clip("C3.mp4", 5, "59.94"), Clip("C4.mp4", 9), Clip("C5.mp4", 14, "59.94")]);
        Assert.Equal("01:Open:; 02:Matched:C3.mp4; 03:Matched:C4.mp4; 04:Matched:C5.mp4", Said(table));
        Assert.Equal(["C1.mp4", "C2.mp4", "C4.mp4"], table.Matches[0].Others.Select(o => o.Name));
    }

    [Fact]
    public void A_missing_clip_leaves_open_what_can_not_be_told()
    {
        // One clip at 59.94: the take of either fixture.
        TakeInTable table = TakeIn.Match(Evening, [Clip("C1.mp4", 0), Clip("C2.mp4", 9), Clip("C3.mp4", 14, "59.94")]);
        Assert.Equal(MatchState.Matched, table.Matches[3].State);
        Assert.Equal(MatchState.Open, table.Matches[1].State);
        TakeInTable unclear = TakeIn.Match([Evening[0], Evening[2]], [Clip("C1.mp4", 0)]);
        Assert.All(unclear.Matches, m => Assert.Equal(MatchState.Open, m.State));
    }

    [Fact]
    public void A_name_decides_where_order_alone_does_not()
    {
        TakeInTable table = TakeIn.Match([Evening[0], Evening[2]], [Clip("wash_b.mp4", 0)]);
        Assert.Equal("01:Open:; 03:Matched:wash_b.mp4", Said(table));
    }

    [Fact]
    public void A_wrong_rate_is_never_matched()
    {
        TakeInTable table = TakeIn.Match([Evening[0]], [Clip("C1.mp4", 0, "50")]);
        Assert.Equal(MatchState.Open, table.Matches[0].State);
        Assert.Equal("no clip of 25 fps is left", table.Matches[0].Reason);
    }

    [Fact]
    public void Without_recording_times_the_names_numbers_tell_the_order()
    {
        // File times are those of copying, in another order.
        TakeInTable table = TakeIn.Match([Evening[0], Evening[1]], [Clip("C10.mp4", 0, "59.94", tagged: false), Clip("C9.mp4", 5, tagged: false)]);
        Assert.Equal("the numbers in the clips' names", table.OrderedBy);
        Assert.Equal("01:Matched:C9.mp4; 02:Matched:C10.mp4", Said(table));
    }

    [Fact]
    public void What_is_in_place_stays()
    {
        TakeSlot there = Evening[0] with { IsThere = true };
        TakeInTable table = TakeIn.Match([there, Evening[1]], [Clip("01-wash-a-take-1.mp4", 0), Clip("C2.mp4", 5, "59.94")]);
        Assert.Equal("01:InPlace:01-wash-a-take-1.mp4; 02:Matched:C2.mp4", Said(table));
    }

    [Fact]
    public void Slots_come_from_the_file_once_each_and_in_order_of_their_numbers()
    {
        Audition audition = AuditionReader.Parse("""
            schema: flickerprobe/audition/1
            fixtures:
              - name: A
                takes: [{ clip: 03-a.mp4, sweep: [100%, 50%, 10%], reference: 01-off.mp4 }, { clip: 02-both.mp4, region: [0, 0, 9, 9] }]
              - name: B
                takes: [{ clip: 02-both.mp4, region: [9, 0, 9, 9] }]
            """, "nowhere/a.yaml");
        IReadOnlyList<TakeSlot> slots = TakeInSlots.Of(audition);
        Assert.Equal([("01-off.mp4", "fixture off"), ("02-both.mp4", "A, B"), ("03-a.mp4", "A")], slots.Select(s => (s.Name, s.For)));
        Assert.Equal(6, slots[2].ShortestSeconds);
    }

    [Fact]
    public void Writing_keeps_comments_and_everything_else()
    {
        const string text = "# top, clip: 01-a.mp4 stays here\r\nschema: flickerprobe/audition/1\r\nfixtures:\r\n  - name: A # clip: 01-a.mp4\r\n    takes:\r\n" +
            "      - { clip: 01-a.mp4, shutter: 1/250, dimmer: 100%, reference: \"02 off.mp4\" } # bright\r\n      - clip: 03-a.mp4   # dark\r\n        dimmer: 10%\r\n";
        TakeSlot[] slots = [Slot("01-a.mp4", "A"), Slot("02 off.mp4", "fixture off"), Slot("03-a.mp4", "A")];
        var table = new TakeInTable(
            [
                new TakeMatch(slots[0], MatchState.Matched, Clip("C1, bright.mp4", 0), "", []), new TakeMatch(slots[1], MatchState.Matched, Clip("C2.mp4", 1), "", []),
                new TakeMatch(slots[2], MatchState.Open, null, "", [Clip("C3.mp4", 2)]),
            ], [], "");
        string edited = TakeInEdit.Apply(text, "a.yaml", table);
        Assert.Equal(text.Replace("{ clip: 01-a.mp4", "{ clip: \"C1, bright.mp4\"", StringComparison.Ordinal).Replace("\"02 off.mp4\"", "C2.mp4", StringComparison.Ordinal), edited);
    }

    [Fact]
    public void A_file_that_would_read_otherwise_is_not_written()
    {
        // The value on a line of its own is legal YAML and beyond a line's edit.
        const string text = "schema: flickerprobe/audition/1\nfixtures:\n  - name: A\n    takes:\n      - clip:\n          01-a.mp4\n";
        var table = new TakeInTable([new TakeMatch(Slot("01-a.mp4", "A"), MatchState.Matched, Clip("C1.mp4", 0), "", [])], [], "");
        Assert.Contains("by hand", Assert.Throws<Units.InputException>(() => TakeInEdit.Apply(text, "a.yaml", table)).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_starter_file_takes_in_its_own_evening()
    {
        string starter = AuditionWriter.Starter(AuditionWriterTests.Plan("16ms", dark: true));
        IReadOnlyList<TakeSlot> slots = TakeInSlots.Of(AuditionReader.Parse(starter, "nowhere/starter.yaml"));
        TakeInClip[] clips = [.. slots.Select((s, i) => Clip($"A{i:000}.MOV", i, s.Rate!.ToString(), 60))];
        TakeInTable table = TakeIn.Match(slots, clips);
        Assert.All(table.Matches, m => Assert.Equal(MatchState.Matched, m.State));
        Audition now = AuditionReader.Parse(TakeInEdit.Apply(starter, "starter.yaml", table), "starter.yaml");
        Assert.Equal(clips.Select(c => c.Name).Order(), now.Fixtures.SelectMany(f => f.Takes.SelectMany(t => new[] { t.Clip, t.Reference })).OfType<string>().Distinct().Order());
    }
}
