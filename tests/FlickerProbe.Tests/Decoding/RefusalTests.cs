using FlickerProbe.Files.Decoding;
using FlickerProbe.Footage;
using FlickerProbe.Measurement;
using FlickerProbe.Units;
using Xunit;

namespace FlickerProbe.Tests.Decoding;

/// <summary>Files that lie, break off, hang or point elsewhere: one plain sentence that names the file, or a result with a finding.</summary>
public sealed class RefusalTests : IDisposable
{
    private static readonly Region Small = new(0, 0, 16, 16);
    private readonly Media _media = new();

    public void Dispose() => _media.Dispose();

    [Fact]
    public void Missing_folder_and_empty_files_are_told_apart()
    {
        Assert.Contains("is not there", Refused(_media.At("none.mp4")), StringComparison.Ordinal);
        Assert.Contains("is a folder", Refused(_media.Folder), StringComparison.Ordinal);
        Assert.Contains("is empty (0 bytes)", Refused(Written("zero.mp4", [])), StringComparison.Ordinal);
    }

    [Fact]
    public void Text_garbage_and_half_written_clips_are_refused()
    {
        Assert.Contains("is not a video or a picture", Refused(Written("notes.txt", "to do: buy gaffer tape\n"u8.ToArray())), StringComparison.Ordinal);
        // ffmpeg takes the name's word for it and misses an index that was never there.
        Assert.Contains("is not a video or a picture", Refused(Written("notes.mp4", "to do: buy gaffer tape\n"u8.ToArray())), StringComparison.Ordinal);
        byte[] noise = new byte[5000];
        new Random(1).NextBytes(noise);
        Refused(Written("noise.mp4", noise));
        byte[] clip = File.ReadAllBytes(_media.Clip("whole.mp4"));
        Assert.Contains("breaks off before its index", Refused(Written("cut.mp4", clip[..(clip.Length / 2)])), StringComparison.Ordinal);
    }

    [Fact]
    public void Sound_alone_is_refused_as_such()
    {
        string path = _media.At("sound.m4a");
        Media.Ffmpeg("-f", "lavfi", "-i", "sine=d=0.2", path);
        Assert.Contains("holds no video, only sound", Refused(path), StringComparison.Ordinal);
        string cover = _media.At("cover.m4a"), picture = _media.At("cover.png");
        Media.Ffmpeg("-f", "lavfi", "-i", "testsrc2=s=32x32", "-frames:v", "1", picture);
        Media.Ffmpeg("-i", path, "-i", picture, "-map", "0", "-map", "1", "-c:a", "copy", "-c:v", "png", "-disposition:v:0", "attached_pic", cover);
        Assert.Contains("holds no video, only sound", Refused(cover), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("list.ffconcat", "ffconcat version 1.0\nfile whole.mp4\n")]
    [InlineData("list.mp4", "ffconcat version 1.0\nfile /etc/hostname\n")]
    [InlineData("list.m3u8", "#EXTM3U\n#EXT-X-TARGETDURATION:1\n#EXTINF:1,\nwhole.ts\n#EXT-X-ENDLIST\n")]
    [InlineData("remote.m3u8", "#EXTM3U\n#EXT-X-TARGETDURATION:1\n#EXTINF:1,\nhttp://127.0.0.1:9/a.ts\n#EXT-X-ENDLIST\n")]
    [InlineData("list.sdp", "v=0\no=- 0 0 IN IP4 127.0.0.1\ns=x\nc=IN IP4 127.0.0.1\nt=0 0\nm=video 5004 RTP/AVP 96\na=rtpmap:96 H264/90000\n")]
    [InlineData("list.mpd", "<?xml version=\"1.0\"?><MPD xmlns=\"urn:mpeg:dash:schema:mpd:2011\" type=\"static\"><Period><AdaptationSet><Representation id=\"1\" bandwidth=\"1\"><BaseURL>whole.mp4</BaseURL></Representation></AdaptationSet></Period></MPD>")]
    public void Nothing_that_points_at_other_files_is_followed(string name, string text)
    {
        _media.Clip("whole.mp4");
        Media.Ffmpeg("-i", _media.At("whole.mp4"), "-c", "copy", _media.At("whole.ts"));
        string path = Written(name, System.Text.Encoding.UTF8.GetBytes(text));
        string message = Refused(path);
        Assert.True(message.Contains("points at other files", StringComparison.Ordinal) || message.Contains("is not a video", StringComparison.Ordinal), message);
    }

    [Fact]
    public void A_clip_cut_short_is_measured_and_called_damaged()
    {
        string path = _media.Clip("fast.mp4", "320x240", 2, "-g", "10", "-movflags", "+faststart");
        byte[] clip = File.ReadAllBytes(path);
        SampledClip cut = ClipReader.Read(Written("half.mp4", clip[..(clip.Length / 2)]), new ClipRequest([Small]) { WantStill = false });
        Finding damage = Assert.Single(cut.Findings, finding => finding.Code == "damaged-file");
        Assert.True(damage.ForbidsPass);
        Assert.InRange(cut.Regions[0].Take.Traces.Frames, 5, 55);
        Assert.Equal(cut.Regions[0].Take.Traces.Frames, cut.Regions[0].Take.Times.Seconds?.Length ?? -1);

        byte[] flipped = [.. clip];
        new Random(2).NextBytes(flipped.AsSpan(clip.Length / 2, 2000));
        SampledClip bad = ClipReader.Read(Written("bad.mp4", flipped), new ClipRequest([Small]) { WantStill = false });
        Assert.Contains(bad.Findings, finding => finding.Code == "damaged-file");

        SampledClip good = ClipReader.Read(path, new ClipRequest([Small]) { WantStill = false });
        Assert.DoesNotContain(good.Findings, finding => finding.Code == "damaged-file");
    }

    [Fact]
    public void A_picture_that_changes_its_size_is_refused()
    {
        string a = _media.Clip("a.ts", "64x48"), b = _media.Clip("b.ts", "96x80"), both = _media.At("both.ts");
        File.WriteAllBytes(both, [.. File.ReadAllBytes(a), .. File.ReadAllBytes(b)]);
        string message = Assert.Throws<ClipException>(() => ClipReader.Read(both, new ClipRequest([Small]) { WantStill = false })).Message;
        Assert.Contains("changes its picture from 64x48 to 96x80", message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_region_outside_the_picture_names_the_pictures_size()
    {
        string path = _media.Clip("a.mp4");
        foreach (Region region in new Region[] { new(0, 0, 65, 48), new(60, 0, 5, 1), new(0, 48, 1, 1), new(int.MaxValue, 0, int.MaxValue, 1) })
        {
            InputException problem = Assert.Throws<InputException>(() => ClipReader.Read(path, new ClipRequest([region]) { WantStill = false }));
            Assert.Contains("'a.mp4', which is 64 pixels wide and 48 high", problem.Message, StringComparison.Ordinal);
        }
    }

    [Theory]
    [InlineData(1, 1), InlineData(3, 5), InlineData(16384, 2), InlineData(7, 2000)]
    public void Any_picture_size_works(int width, int height)
    {
        byte[] codes = [.. Enumerable.Range(0, width * height * 2).Select(n => (byte)(16 + n % 200))];
        string path = _media.Encoded("size.mkv", "gray", width, height, codes, "-c:v", "ffv1");
        SampledTake take = ClipReader.Read(path, new ClipRequest([new Region(0, 0, width, height)])).Regions[0].Take;
        Assert.Equal((2, height, Math.Clamp(width / 8, 1, 4)), (take.Traces.Frames, take.Traces.Rows, take.Traces.Strips));
    }

    [Fact]
    public void A_stream_without_time_stamps_says_so()
    {
        string path = _media.Clip("raw.h264", more: ["-f", "h264"]);
        SampledClip clip = ClipReader.Read(path, new ClipRequest([Small]) { WantStill = false });
        Assert.Null(clip.Regions[0].Take.Times.Seconds);
        Assert.Contains(clip.Findings, finding => finding.Code == "variable-rate" && finding.Message.Contains("no time stamps", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("tff", FieldOrder.TopFieldFirst), InlineData("bff", FieldOrder.BottomFieldFirst)]
    public void Interlaced_frames_are_recognised_by_their_flags(string flag, FieldOrder expected)
    {
        string path = _media.Clip(flag + ".mp4", "64x64", 0.4, "-vf", "setfield=" + flag, "-flags", "+ildct+ilme");
        SampledClip clip = ClipReader.Read(path, new ClipRequest([Small]) { WantStill = false });
        Assert.Equal(expected, clip.Regions[0].Take.Fields);
        Assert.Contains(clip.Findings, finding => finding.Code == "interlaced");
    }

    [Theory]
    [InlineData("with space.mp4"), InlineData("quote\"double.mp4"), InlineData("it's.mp4"), InlineData("-dash.mp4"), InlineData("Bühne-光.mp4"), InlineData("x:y.mp4")]
    [InlineData("shot%03d.mp4"), InlineData("line\nbreak.mp4"), InlineData("a;b|c$(d)`e`.mp4"), InlineData("x\" -f null - -y \"pwned.mp4"), InlineData("concat:a|b.mp4"), InlineData("still%03d.png")]
    public void Odd_names_are_only_names(string name)
    {
        string path = _media.At(name);
        if (name.EndsWith("png", StringComparison.Ordinal))
        {
            string plain = _media.At("plain.png");
            Media.Ffmpeg("-f", "lavfi", "-i", "testsrc2=s=32x32", "-frames:v", "1", plain);
            File.Move(plain, path);
        }
        else
        {
            File.Move(_media.Clip("plain.mp4", "32x32", 0.1), path);
        }
        string[] before = Directory.GetFiles(_media.Folder);
        SampledClip clip = ClipReader.Read(path, new ClipRequest([Small]));
        Assert.True(clip.Regions[0].Take.Traces.Frames >= 1);
        Assert.NotNull(clip.StillPng);
        Assert.Equal(before, Directory.GetFiles(_media.Folder));
        Assert.Equal(Convert.ToHexStringLower(System.Security.Cryptography.SHA256.HashData(File.ReadAllBytes(path))), clip.Sha256);
    }

    [Fact]
    public void A_missing_program_is_named()
    {
        string path = _media.Clip("a.mp4");
        var none = new DecoderPrograms { Ffprobe = "no-such-prober" };
        Assert.Contains("'no-such-prober' could not be started: install ffmpeg", Assert.Throws<ProgramMissingException>(() => ClipProbe.Probe(path, none)).Message, StringComparison.Ordinal);
        var half = new DecoderPrograms { Ffmpeg = "no-such-decoder" };
        Assert.Throws<ProgramMissingException>(() => ClipReader.Read(path, new ClipRequest([Small]) { Programs = half }));
    }

    [Fact]
    public void A_program_that_hangs_is_ended_with_a_sentence()
    {
        if (OperatingSystem.IsWindows()) return; // the stand-in is a shell script
        string path = _media.Clip("a.mp4");
        string marker = "31" + Environment.ProcessId;
        string stub = Written("hang.sh", System.Text.Encoding.UTF8.GetBytes($"#!/bin/sh\nsleep {marker}\n"));
        File.SetUnixFileMode(stub, UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute);
        var programs = new DecoderPrograms { Ffmpeg = stub, Patience = TimeSpan.FromSeconds(1) };
        ClipInfo info = ClipProbe.Probe(path);
        string message = Assert.Throws<ClipException>(() => ClipReader.Read(info, new ClipRequest([Small]) { Programs = programs })).Message;
        Assert.Contains("ffmpeg gave nothing for 1 s and was ended", message, StringComparison.Ordinal);
        Assert.Empty(Sleeping(marker));
    }

    [Fact]
    public void Cancelling_ends_the_child_and_throws()
    {
        if (OperatingSystem.IsWindows()) return; // the stand-in is a shell script
        ClipInfo info = ClipProbe.Probe(_media.Clip("a.mp4"));
        string marker = "32" + Environment.ProcessId;
        string stub = Written("slow.sh", System.Text.Encoding.UTF8.GetBytes($"#!/bin/sh\nsleep {marker}\n"));
        File.SetUnixFileMode(stub, UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute);
        using var cancel = new CancellationTokenSource(TimeSpan.FromSeconds(1));
        Assert.ThrowsAny<OperationCanceledException>(() =>
            ClipReader.Read(info, new ClipRequest([Small]) { Programs = new DecoderPrograms { Ffmpeg = stub } }, null, cancel.Token));
        Assert.Empty(Sleeping(marker));
    }

    [Fact]
    public void A_reference_of_another_size_is_refused_and_a_fitting_one_is_averaged()
    {
        string clip = _media.Clip("a.mp4"), other = _media.Clip("b.mp4", "96x64");
        var request = new ClipRequest([new Region(8, 8, 40, 20)]) { WantStill = false };
        Assert.Contains("The reference", Assert.Throws<ClipException>(() => ClipReader.Read(clip, request with { ReferencePath = other })).Message, StringComparison.Ordinal);
        SampledTake take = ClipReader.Read(clip, request with { ReferencePath = clip }).Regions[0].Take;
        Assert.Equal(take.Traces.Strips, take.Reference!.Length);
        ReadOnlySpan<float> strip = take.Traces.Strip(1);
        double mean = 0;
        for (int frame = 0; frame < take.Traces.Frames; frame++) mean += strip[frame * take.Traces.Rows + 7] / (double)take.Traces.Frames;
        Assert.Equal(mean, take.Reference[1][7], 1e-6);
    }

    [Fact]
    public void A_reference_has_the_strips_of_a_long_clip()
    {
        // So many rows and frames that two strips must do.
        string lit = _media.At("long.mp4"), off = _media.At("short.mp4");
        Media.Ffmpeg("-f", "lavfi", "-i", "color=gray:s=32x1024:r=50", "-frames:v", "6500", "-c:v", "libx264", "-preset", "ultrafast", lit);
        Media.Ffmpeg("-f", "lavfi", "-i", "gradients=s=32x1024:c0=black:c1=gray:x0=0:y0=0:x1=31:y1=0:n=2:d=1:r=50", "-frames:v", "20", "-c:v", "libx264", "-preset", "ultrafast", off);
        SampledTake take = ClipReader.Read(lit, new ClipRequest([new Region(0, 0, 32, 1024)]) { WantStill = false, ReferencePath = off }).Regions[0].Take;
        Assert.Equal((2, 2), (take.Traces.Strips, take.Reference!.Length));
        Assert.True(take.Reference[0].Average() < take.Reference[1].Average());
    }

    [Fact]
    public void Several_regions_are_sampled_in_one_pass_as_if_alone()
    {
        string clip = _media.Clip("a.mp4");
        Region[] regions = [new(1, 1, 20, 10, "left"), new(40, 30, 24, 18, "right"), new(10, 5, 40, 30)];
        SampledClip together = ClipReader.Read(clip, new ClipRequest(regions) { WantStill = false });
        for (int n = 0; n < regions.Length; n++)
        {
            SampledRegion alone = ClipReader.Read(clip, new ClipRequest([regions[n]]) { WantStill = false }).Regions[0];
            Assert.Equal(regions[n], together.Regions[n].Region);
            Assert.Equal(alone.Take.Level, together.Regions[n].Take.Level);
            for (int strip = 0; strip < alone.Take.Traces.Strips; strip++)
                Assert.Equal(alone.Take.Traces.Strip(strip).ToArray(), together.Regions[n].Take.Traces.Strip(strip).ToArray());
        }
    }

    [Fact]
    public void Memory_does_not_grow_with_the_length_beyond_the_traces()
    {
        string path = _media.Clip("long.mp4", "320x240", 20);
        ClipInfo info = ClipProbe.Probe(path);
        var request = new ClipRequest([new Region(0, 0, 320, 8)]) { WantStill = false };
        ClipReader.Read(info, request);
        // This thread reads the pictures; other tests running beside it do not count.
        long before = GC.GetAllocatedBytesForCurrentThread();
        ClipReader.Read(info, request);
        long spent = GC.GetAllocatedBytesForCurrentThread() - before;
        long traces = 600 * 8 * 4 * sizeof(float), pictures = 600L * 320 * 240;
        // Log lines are most of it, about a kilobyte a picture; the pictures themselves would be 46 MB.
        Assert.InRange(spent, traces, pictures / 6);
    }

    private static string Refused(string path)
    {
        string message = Assert.Throws<ClipException>(() => ClipReader.Read(path, new ClipRequest([Small]) { WantStill = false })).Message;
        Assert.StartsWith($"'{path}'", message, StringComparison.Ordinal);
        Assert.EndsWith(".", message, StringComparison.Ordinal);
        Assert.DoesNotContain("\n", message.Replace(path, "", StringComparison.Ordinal), StringComparison.Ordinal);
        return message;
    }

    private string Written(string name, byte[] bytes)
    {
        string path = _media.At(name);
        File.WriteAllBytes(path, bytes);
        return path;
    }

    /// <summary>What still sleeps under the marker after a fair wait: the system needs a moment to clear an ended process away.</summary>
    private static string[] Sleeping(string marker)
    {
        SpinWait.SpinUntil(() => Running(marker).Length == 0, TimeSpan.FromSeconds(10));
        return Running(marker);
    }

    private static string[] Running(string marker) => [.. Directory.GetDirectories("/proc").Where(folder =>
    {
        try
        {
            return File.ReadAllText(Path.Combine(folder, "cmdline")).Contains("sleep\0" + marker, StringComparison.Ordinal);
        }
        catch (Exception gone) when (gone is IOException or UnauthorizedAccessException)
        {
            return false;
        }
    })];
}
