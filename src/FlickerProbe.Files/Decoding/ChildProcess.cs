using System.ComponentModel;
using System.Diagnostics;
using System.IO.Pipes;
using System.Runtime.InteropServices;

namespace FlickerProbe.Files.Decoding;

/// <summary>One run of ffmpeg or ffprobe: output read synchronously, error lines gathered, ended when cancelled, stalled or let go of.</summary>
internal sealed partial class ChildProcess : IDisposable
{
    private const int SetPipeSize = 1031; // F_SETPIPE_SZ of Linux
    private const int PipeBytes = 1 << 20;

    private readonly Process _process;
    private readonly Stream _output;
    private readonly CancellationTokenRegistration _cancellation;
    private readonly CancellationToken _cancel;
    private readonly Timer _watchdog;
    private readonly Task _errors;
    private readonly long _patience;
    private long _waitingSince = -1; // Environment.TickCount64 when a read began, -1 outside a read
    private volatile bool _stalled;

    private ChildProcess(Process process, Action<string> onErrorLine, TimeSpan patience, CancellationToken cancel)
    {
        _process = process;
        _output = process.StandardOutput.BaseStream;
        WidenPipe(_output);
        _errors = Task.Factory.StartNew(() => ReadErrors(onErrorLine), CancellationToken.None, TaskCreationOptions.LongRunning, TaskScheduler.Default);
        _patience = (long)patience.TotalMilliseconds;
        _cancel = cancel;
        _cancellation = cancel.Register(Kill);
        _watchdog = new Timer(_ => EndWhenStalled(), null, 250, 250);
    }

    /// <summary>Starts a program with a list of arguments: no shell and no quoting, so a file name can't become an option.</summary>
    /// <exception cref="ProgramMissingException">The program can't be started.</exception>
    public static ChildProcess Start(
        string program, IEnumerable<string> arguments, Action<string> onErrorLine, TimeSpan patience, CancellationToken cancel)
    {
        cancel.ThrowIfCancellationRequested();
        var start = new ProcessStartInfo(program)
        {
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            UseShellExecute = false,
            CreateNoWindow = true,
        };
        foreach (string argument in arguments) start.ArgumentList.Add(argument);
        try
        {
            Process process = Process.Start(start)!;
            process.StandardInput.Close();
            return new ChildProcess(process, onErrorLine, patience, cancel);
        }
        catch (Win32Exception cause)
        {
            throw new ProgramMissingException(program, cause);
        }
    }

    /// <summary>Whether the child was ended because it said nothing for too long.</summary>
    public bool Stalled => _stalled;

    /// <summary>Reads what is there, at least one byte; 0 at the end.</summary>
    /// <exception cref="OperationCanceledException">Cancelled.</exception>
    public int Read(Span<byte> buffer)
    {
        Volatile.Write(ref _waitingSince, Environment.TickCount64);
        int read = _output.Read(buffer);
        Volatile.Write(ref _waitingSince, -1);
        if (read == 0) _cancel.ThrowIfCancellationRequested();
        return read;
    }

    /// <summary>Reads until the buffer is full; false where the output ends before.</summary>
    /// <exception cref="OperationCanceledException">Cancelled.</exception>
    public bool Fill(Span<byte> buffer)
    {
        while (buffer.Length > 0)
        {
            int read = Read(buffer);
            if (read == 0) return false;
            buffer = buffer[read..];
        }
        return true;
    }

    /// <summary>Waits for the end and for the last error line.</summary>
    /// <returns>The exit code; null when the child had to be ended.</returns>
    public int? Finish()
    {
        bool ended = _process.WaitForExit(TimeSpan.FromMilliseconds(_patience));
        if (!ended)
        {
            _stalled = true;
            Kill();
        }
        _errors.Wait(TimeSpan.FromSeconds(5));
        _cancel.ThrowIfCancellationRequested();
        return ended && !_stalled ? _process.ExitCode : null;
    }

    /// <summary>Ends the child and whatever it started.</summary>
    public void Kill()
    {
        try
        {
            if (!_process.HasExited) _process.Kill(entireProcessTree: true);
        }
        catch (Exception problem) when (problem is InvalidOperationException or Win32Exception or AggregateException)
        {
            // It ended by itself in between.
        }
    }

    public void Dispose()
    {
        _watchdog.Dispose();
        _cancellation.Dispose();
        Kill();
        _process.WaitForExit(TimeSpan.FromSeconds(5));
        _errors.Wait(TimeSpan.FromSeconds(1));
        _process.Dispose();
    }

    private void ReadErrors(Action<string> onErrorLine)
    {
        try
        {
            while (_process.StandardError.ReadLine() is { } line) onErrorLine(line);
        }
        catch (Exception problem) when (problem is IOException or ObjectDisposedException or InvalidOperationException)
        {
            // The child was ended: nothing more to hear.
        }
    }

    private void EndWhenStalled()
    {
        long since = Volatile.Read(ref _waitingSince);
        if (since < 0 || Environment.TickCount64 - since < _patience) return;
        _stalled = true;
        Kill();
    }

    /// <summary>Linux gives a pipe 64 KiB; with room for half a frame the decoder waits less. Elsewhere, or when refused, nothing is lost.</summary>
    private static void WidenPipe(Stream output)
    {
        if (OperatingSystem.IsLinux() && output is AnonymousPipeClientStream pipe)
            _ = Fcntl(pipe.SafePipeHandle, SetPipeSize, PipeBytes);
    }

    [LibraryImport("libc", EntryPoint = "fcntl", SetLastError = true)]
    [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
    private static partial int Fcntl(SafeHandle handle, int command, int argument);
}
