using System.Globalization;
using System.Net;
using System.Net.Sockets;
using System.Text;

namespace FlickerProbe.Robustness.Corpus;

/// <summary>Files and names that point elsewhere: playlists, scripts, descriptions, linked segments, network addresses. Nothing may be followed.</summary>
/// <remarks>A sound clip called secret.mp4 lies beside each, and a listener waits for a connection: a result or a connection would mean that a reference was followed.</remarks>
internal static class References
{
    private const string Class = "references not followed";

    /// <summary>All of them.</summary>
    public static IEnumerable<Trial> All(IReadOnlyList<SeedClip> seeds)
    {
        byte[] mp4 = seeds.First(s => s.Name == "mp4 libx264").Bytes, ts = seeds.First(s => s.Name == "ts libx264").Bytes, mkv = seeds.First(s => s.Name == "mkv ffv1").Bytes;
        foreach ((string name, string extension, string text) in Texts)
        {
            foreach (string called in new[] { extension, ".mp4" })
                yield return Pointing($"{name} called {called}", called, mp4, ts, (folder, port) => Encoding.UTF8.GetBytes(text.Replace("{folder}", folder, StringComparison.Ordinal).Replace("{port}", port, StringComparison.Ordinal)));
        }
        foreach ((string kind, Func<string, string, string> path) in new (string, Func<string, string, string>)[]
        {
            ("beside", (_, _) => "secret.mp4"), ("full", (folder, _) => Path.Combine(folder, "secret.mp4")), ("as an address", (folder, _) => "file://" + folder + "/secret.mp4"), ("on the network", (_, port) => $"http://127.0.0.1:{port}/secret.mp4"),
        })
        {
            // ISO/IEC 14496-12, 8.7.2: flag 0 says that the media lies in another file.
            yield return Pointing($"mov with its media in another file, {kind}", ".mov", mp4, ts, (folder, port) => Boxes.Extended(Emptied(mp4), "dref", 8, Entry("url ", Encoding.UTF8.GetBytes(path(folder, port) + "\0"))));
        }
        yield return Pointing("mkv whose next segment is another file", ".mkv", mp4, ts, (_, _) => WithNextFile(mkv, "secret.mkv")) with { Bound = Bound.NeverPass };
        foreach (string clip in new[]
        {
            "concat:{folder}/secret.mp4|{folder}/secret.mp4", "subfile,,start,0,end,0,,:{folder}/secret.mp4", "http://127.0.0.1:{port}/a.mp4", "https://127.0.0.1:{port}/a.mp4", "tcp://127.0.0.1:{port}", "udp://127.0.0.1:{port}", "rtsp://127.0.0.1:{port}/a", "rtmp://127.0.0.1:{port}/a", "ftp://127.0.0.1:{port}/a.mp4",
            "data:video/mp4;base64,AAAA", "pipe:0", "fd:0", "-", "file:{folder}/secret.mp4", "crypto:{folder}/secret.mp4", "cache:{folder}/secret.mp4", "async:{folder}/secret.mp4", "md5:{folder}/x", "lavfi:testsrc", "testsrc2", "/dev/stdin", "/dev/null", "/dev/zero", "/proc/self/environ", "{folder}/secret%03d.mp4", "{folder}/*.mp4", "{folder}/", "{folder}", "", " ", "\\\\server\\share\\a.mp4",
        })
        {
            yield return Pointing($"clip called '{clip}'", ".unused", mp4, ts, (_, _) => [0]) with { Prepare = folder => Call(folder, clip, mp4, ts) };
        }

        string[] Call(string folder, string clip, byte[] secret, byte[] segment)
        {
            string port = Lay(folder, secret, segment);
            return ["measure", clip.Replace("{folder}", folder, StringComparison.Ordinal).Replace("{port}", port, StringComparison.Ordinal), "--json", Path.Combine(folder, Ending.OutName, "result.json")];
        }
    }

    private static (string Name, string Extension, string Text)[] Texts =>
    [
        ("concat script", ".ffconcat", "ffconcat version 1.0\nfile secret.mp4\n"), ("concat script, full path", ".txt", "ffconcat version 1.0\nfile '{folder}/secret.mp4'\n"), ("concat script with a mark", ".ffconcat", "\uFEFFffconcat version 1.0\nfile secret.mp4\n"),
        ("playlist", ".m3u8", "#EXTM3U\n#EXT-X-TARGETDURATION:1\n#EXTINF:1,\nsecret.ts\n#EXT-X-ENDLIST\n"), ("playlist, full path", ".m3u8", "#EXTM3U\n#EXT-X-TARGETDURATION:1\n#EXTINF:1,\nfile://{folder}/secret.ts\n#EXT-X-ENDLIST\n"), ("playlist, network", ".m3u8", "#EXTM3U\n#EXT-X-TARGETDURATION:1\n#EXTINF:1,\nhttp://127.0.0.1:{port}/a.ts\n#EXT-X-ENDLIST\n"),
        ("playlist that reads a text file", ".m3u8", "#EXTM3U\n#EXT-X-MEDIA-SEQUENCE:0\n#EXTINF:1,\nconcat:http://127.0.0.1:{port}/h|file:///etc/passwd\n#EXT-X-ENDLIST\n"), ("playlist of playlists", ".m3u8", "#EXTM3U\n#EXT-X-STREAM-INF:BANDWIDTH=1\nhttp://127.0.0.1:{port}/b.m3u8\n"), ("plain list", ".m3u", "secret.mp4\n"), ("pls list", ".pls", "[playlist]\nFile1=secret.mp4\nNumberOfEntries=1\n"),
        ("session description", ".sdp", "v=0\no=- 0 0 IN IP4 127.0.0.1\ns=x\nc=IN IP4 127.0.0.1\nt=0 0\nm=video {port} RTP/AVP 96\na=rtpmap:96 H264/90000\n"),
        ("dash manifest", ".mpd", "<?xml version=\"1.0\"?><MPD xmlns=\"urn:mpeg:dash:schema:mpd:2011\" type=\"static\" mediaPresentationDuration=\"PT1S\"><Period><AdaptationSet mimeType=\"video/mp4\"><Representation id=\"1\" bandwidth=\"1\"><BaseURL>http://127.0.0.1:{port}/secret.mp4</BaseURL></Representation></AdaptationSet></Period></MPD>"),
        ("dash manifest, local", ".mpd", "<?xml version=\"1.0\"?><MPD xmlns=\"urn:mpeg:dash:schema:mpd:2011\" type=\"static\" mediaPresentationDuration=\"PT1S\"><Period><AdaptationSet mimeType=\"video/mp4\"><Representation id=\"1\" bandwidth=\"1\"><BaseURL>secret.mp4</BaseURL></Representation></AdaptationSet></Period></MPD>"),
        ("asx list", ".asx", "<asx version=\"3.0\"><entry><ref href=\"http://127.0.0.1:{port}/a.wmv\"/></entry></asx>"), ("asf reference", ".asf", "[Reference]\nRef1=http://127.0.0.1:{port}/a.wmv?MSWMExt=.asf\n"), ("smil", ".smil", "<smil><body><video src=\"secret.mp4\"/></body></smil>"),
        ("picture with a link", ".svg", "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"64\" height=\"48\"><image href=\"http://127.0.0.1:{port}/a.png\" width=\"64\" height=\"48\"/></svg>"), ("html page", ".html", "<video src=\"secret.mp4\"></video>"), ("script", ".avs", "FFVideoSource(\"secret.mp4\")\n"), ("python script", ".vpy", "import os\nos.system('touch {folder}/out/ran')\n"),
        ("subtitles", ".srt", "1\n00:00:00,000 --> 00:00:01,000\nhello\n"), ("styled subtitles", ".ass", "[Script Info]\nScriptType: v4.00+\n[Events]\nFormat: Start, End, Text\nDialogue: 0:00:00.00,0:00:01.00,hello\n"), ("metadata", ".txt", ";FFMETADATA1\ntitle=x\n"), ("lyrics", ".lrc", "[00:00.00]hello\n"), ("shortcut", ".url", "[InternetShortcut]\nURL=http://127.0.0.1:{port}/\n"), ("text art", ".ans", "hello\u001b[31m\n"), ("a web mail", ".eml", "Content-Type: video/mp4\n\n"),
    ];

    private static Trial Pointing(string name, string extension, byte[] secret, byte[] segment, Func<string, string, byte[]> make) => new(Class, name, Bound.Refused, folder =>
    {
        string port = Lay(folder, secret, segment), clip = Path.Combine(folder, "clip" + extension);
        File.WriteAllBytes(clip, make(folder, port));
        return DamagedClips.Call(folder, clip);
    })
    {
        Also = ending =>
        {
            using TcpListener listener = Listening[ending.Folder];
            Listening.TryRemove(ending.Folder, out _);
            return listener.Pending() ? "opened a network connection" : File.Exists(Path.Combine(ending.Out, "ran")) ? "ran a script" : null;
        },
    };

    private static readonly System.Collections.Concurrent.ConcurrentDictionary<string, TcpListener> Listening = new();

    private static string Lay(string folder, byte[] secret, byte[] segment)
    {
        File.WriteAllBytes(Path.Combine(folder, "secret.mp4"), secret);
        File.WriteAllBytes(Path.Combine(folder, "secret.ts"), segment);
        var listener = new TcpListener(IPAddress.Loopback, 0);
        listener.Start();
        Listening[folder] = listener;
        return ((IPEndPoint)listener.LocalEndpoint).Port.ToString(CultureInfo.InvariantCulture);
    }

    // Without pictures of its own, a result could only come from the file that is pointed at.
    private static byte[] Emptied(byte[] mp4)
    {
        byte[] copy = [.. mp4];
        int from = copy.AsSpan().IndexOf("mdat"u8) + 4, to = copy.AsSpan().IndexOf("moov"u8) - 4;
        copy.AsSpan(from, to - from).Clear();
        return copy;
    }

    private static byte[] Entry(string kind, byte[] content)
    {
        byte[] entry = [0, 0, 0, (byte)(12 + content.Length), .. Encoding.ASCII.GetBytes(kind), 0, 0, 0, 0, .. content];
        return entry;
    }

    // The name of the writing program (element 4D80) makes room for the name of the next file (element 3E83BB), as long in all.
    private static byte[] WithNextFile(byte[] mkv, string next)
    {
        byte[] copy = [.. mkv];
        int at = copy.AsSpan().IndexOf((ReadOnlySpan<byte>)[0x4D, 0x80]);
        int length = (copy[at + 2] & 0x7F) - 1;
        byte[] name = new byte[length];
        Encoding.ASCII.GetBytes(next[..Math.Min(length, next.Length)]).CopyTo(name, 0);
        ((byte[])[0x3E, 0x83, 0xBB, (byte)(0x80 | length), .. name]).CopyTo(copy, at);
        return copy;
    }
}
