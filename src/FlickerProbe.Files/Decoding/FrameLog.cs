using System.Globalization;

namespace FlickerProbe.Files.Decoding;

/// <summary>What ffmpeg tells on its error output while decoding: one line a picture from its showinfo filter, and its complaints.</summary>
/// <remarks>Written by the thread that reads the lines, read by the one that reads pictures, so every access is locked.</remarks>
internal sealed class FrameLog
{
    private const int KeptComplaints = 20;
    private readonly Lock _gate = new();
    private readonly List<long?> _stamps = [];
    private readonly List<string> _complaints = [];
    private readonly string _size;
    private readonly string _format;
    private double _tick;
    private int _complaintCount, _topFirst, _bottomFirst;
    private string? _change;

    /// <summary>A log that expects every picture to have this size and pixel format.</summary>
    public FrameLog(int width, int height, string format)
    {
        _size = string.Create(CultureInfo.InvariantCulture, $"{width}x{height}");
        _format = format;
    }

    /// <summary>Takes one line.</summary>
    public void Add(string line)
    {
        lock (_gate)
        {
            if (line.StartsWith("[Parsed_showinfo", StringComparison.Ordinal))
            {
                int mark = line.IndexOf("] [info] ", StringComparison.Ordinal);
                if (mark >= 0) AddPicture(line[(mark + 9)..]);
            }
            else if (line.Contains("[error]", StringComparison.Ordinal) || line.Contains("[fatal]", StringComparison.Ordinal))
            {
                _complaintCount++;
                if (_complaints.Count < KeptComplaints) _complaints.Add(line);
            }
        }
    }

    /// <summary>Size or format of the first picture that differs from what was announced, in words; null while all agree.</summary>
    public string? Change
    {
        get { lock (_gate) return _change; }
    }

    /// <summary>Lines of error so far.</summary>
    public int ComplaintCount
    {
        get { lock (_gate) return _complaintCount; }
    }

    /// <summary>All kept complaints as one text.</summary>
    public string Complaints
    {
        get { lock (_gate) return string.Join('\n', _complaints); }
    }

    /// <summary>Pictures told of so far.</summary>
    public int PictureCount
    {
        get { lock (_gate) return _stamps.Count; }
    }

    /// <summary>Pictures flagged as two fields: even rows first, odd rows first.</summary>
    public (int TopFirst, int BottomFirst) Fields
    {
        get { lock (_gate) return (_topFirst, _bottomFirst); }
    }

    /// <summary>Time of each decoded picture in seconds from the first; null where one is missing or they do not ascend.</summary>
    public double[]? Seconds(int frames)
    {
        lock (_gate)
        {
            if (_tick <= 0 || _stamps.Count != frames || _stamps.Contains(null)) return null;
            for (int n = 1; n < frames; n++)
            {
                if (_stamps[n] < _stamps[n - 1]) return null;
            }
            return [.. _stamps.Select(stamp => (stamp!.Value - _stamps[0]!.Value) * _tick)];
        }
    }

    private void AddPicture(string text)
    {
        if (text.StartsWith("config in time_base: ", StringComparison.Ordinal))
        {
            _tick = Units.Parsing.Ratio(text["config in time_base: ".Length..].Split(',')[0]) ?? 0;
            return;
        }
        if (!text.StartsWith("n:", StringComparison.Ordinal)) return;
        _stamps.Add(long.TryParse(Value(text, " pts:"), NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out long stamp) ? stamp : null);
        string size = Value(text, " s:"), format = Value(text, " fmt:"), fields = Value(text, " i:");
        if (fields == "T") _topFirst++;
        if (fields == "B") _bottomFirst++;
        if (_change is null && (size != _size || format != _format))
            _change = size != _size ? $"from {_size} to {size}" : $"from {_format} to {format}";
    }

    /// <summary>The word after a key, whatever blanks lie between.</summary>
    private static string Value(string text, string key)
    {
        int at = text.IndexOf(key, StringComparison.Ordinal);
        if (at < 0) return "";
        ReadOnlySpan<char> rest = text.AsSpan(at + key.Length).TrimStart(' ');
        int end = rest.IndexOf(' ');
        return (end < 0 ? rest : rest[..end]).ToString();
    }
}
